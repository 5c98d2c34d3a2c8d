from django.urls import path

from .views import deposits, lists, papers

app_name = "billing"
urlpatterns = [
    path("", lists.money_in, name="money-in"),
    path("deposits/", lists.deposits_held, name="deposits"),
    path("invoices/", lists.invoice_list, name="invoices"),
    path("receipts/", lists.receipt_list, name="receipts"),
    path("orders/<slug:number>/deposit/", deposits.take_deposit, name="take-deposit"),
    path("orders/<slug:number>/refund/", deposits.refund_deposit, name="refund-deposit"),
    path("orders/<slug:number>/keep/", deposits.keep_deposit, name="keep-deposit"),
    path("lines/<int:pk>/cancel/", deposits.cancel_line, name="cancel-line"),
    path("receipts/<slug:number>/", papers.receipt_page, name="receipt"),
    path("receipts/<slug:number>/paper/", papers.receipt_paper, name="receipt-paper"),
    path("invoices/<slug:number>/", papers.invoice_page, name="invoice"),
    path("invoices/<slug:number>/paper/", papers.invoice_paper, name="invoice-paper"),
    path("invoices/<slug:number>/pay/", papers.take_balance, name="take-balance"),
]
