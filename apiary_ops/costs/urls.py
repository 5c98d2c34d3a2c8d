from django.urls import path

from . import views

app_name = "costs"
urlpatterns = [
    path("bills/", views.bill_list, name="bills"),
    path("bills/record/", views.record_bill, name="bill-record"),
    path("bills/<int:pk>/", views.bill_page, name="bill"),
    path("bills/<int:pk>/reverse/", views.reverse_bill, name="bill-reverse"),
    path("payments/<int:pk>/reverse/", views.reverse_payment, name="payment-reverse"),
    path("assumptions/", views.state_assumptions, name="assumptions"),
    path("suppliers/", views.supplier_list, name="suppliers"),
    path("suppliers/add/", views.add_supplier, name="supplier-add"),
    path("suppliers/<int:pk>/", views.edit_supplier, name="supplier-edit"),
]
