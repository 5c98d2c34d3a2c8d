from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from apiary_ops.billing import forms, papers, queries, services, tables
from apiary_ops.core.answers import already_done, pdf_file, status_of
from apiary_ops.core.once import AlreadyDone
from apiary_ops.kernel.money import Money
from apiary_ops.kernel.refusals import RuleBroken


@require_safe
def receipt_page(request: HttpRequest, number: str) -> HttpResponse:
    receipt = get_object_or_404(queries.receipts(), number=number)
    return render(request, "billing/receipt.html", {"receipt": receipt})


@require_safe
def receipt_paper(request: HttpRequest, number: str) -> HttpResponse:
    receipt = get_object_or_404(queries.receipts(), number=number)
    return pdf_file(papers.receipt_pdf(receipt.pk), f"receipt-{receipt.number}")


@require_safe
def invoice_page(request: HttpRequest, number: str) -> HttpResponse:
    invoice = get_object_or_404(queries.invoices(), number=number)
    table = tables.InvoiceLineTable(
        queries.lines_of(invoice),
        request=request,
        currency=invoice.currency,
        totals={"net_cents": invoice.net_cents},
    )
    context = {"invoice": invoice, "table": table, "payments": queries.payments_of(invoice)}
    return render(request, "billing/invoice.html", context)


@require_safe
def invoice_paper(request: HttpRequest, number: str) -> HttpResponse:
    invoice = get_object_or_404(queries.invoices(), number=number)
    return pdf_file(papers.invoice_pdf(invoice.pk), f"invoice-{invoice.number}")


@require_http_methods(["GET", "POST"])
def take_balance(request: HttpRequest, number: str) -> HttpResponse:
    invoice = get_object_or_404(queries.invoices(), number=number)
    currency = invoice.currency
    initial = {"received_on": request.today, "amount": Money(invoice.owed_cents, currency), "method": "cash"}
    form = forms.MoneyReceived(request.POST or None, initial=initial, currency=currency, today=request.today)
    if form.is_valid():
        try:
            receipt = services.take_balance(invoice_id=invoice.pk, actor=request.user, **form.values)
        except AlreadyDone as done:
            return already_done(request, done)
        except RuleBroken as refusal:
            form.add_error("amount", str(refusal))
        else:
            messages.success(request, _("Receipt %(number)s is written.") % {"number": receipt.number})
            return redirect("billing:receipt", receipt.number)
    context = {"form": form, "invoice": invoice}
    return render(request, "billing/take_balance.html", context, status=status_of(form))
