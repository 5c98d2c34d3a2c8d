from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from apiary_ops.books.queries import account_choices
from apiary_ops.core.answers import already_done, status_of
from apiary_ops.core.history import history_rows
from apiary_ops.core.once import AlreadyDone
from apiary_ops.core.panels import panels_for
from apiary_ops.core.shell import Figure
from apiary_ops.core.tables import export_links, table_file, table_for, wants_file
from apiary_ops.core.versions import StaleRecord
from apiary_ops.kernel.money import Money
from apiary_ops.kernel.refusals import RuleBroken
from apiary_ops.people.access import may_open

from . import filters, forms, queries, services, tables
from .models import Bill, CostAssumptions


@require_safe
def bill_list(request: HttpRequest) -> HttpResponse:
    currency = request.business.currency
    chosen = filters.BillFilters(request.GET, queryset=queries.bills(today=request.today), request=request)
    table = table_for(request, tables.BillTable, chosen.qs, currency=currency)
    if wants_file(request):
        return table_file(request, table, "bills")
    context = {
        "table": table,
        "filters": chosen,
        "exports": export_links(request),
        "figures": _owed_figures(request),
        "has_bills": bool(table.records) or chosen.clear_url,
    }
    return render(request, "costs/bill_list.html", context)


def _owed_figures(request: HttpRequest) -> list[Figure]:
    currency, today = request.business.currency, request.today
    overdue = queries.owed_total(due_until=today - queries.A_DAY)
    soon = queries.owed_total(due_until=today + queries.SOON) - overdue
    return [
        Figure(_("Owed"), str(Money(queries.owed_total(), currency)), url="?standing=owed"),
        Figure(_("Overdue"), str(Money(overdue, currency)), url="?standing=overdue", tone="mind" if overdue else ""),
        Figure(_("Due within two weeks"), str(Money(soon, currency)), url="?standing=soon"),
    ]


@require_http_methods(["GET", "POST"])
def record_bill(request: HttpRequest) -> HttpResponse:
    initial = {"season": request.season, "billed_on": request.today, "supplier": request.GET.get("supplier")}
    form = forms.RecordBill(request.POST or None, initial=initial)
    rows = forms.BillRowSet(
        request.POST or None,
        prefix="rows",
        form_kwargs={"currency": request.business.currency, "accounts": account_choices(queries.billed_accounts())},
    )
    if form.is_valid() & rows.is_valid():
        values = dict(form.cleaned_data)
        try:
            bill = services.record_bill(
                season_id=values.pop("season").pk,
                supplier_id=values.pop("supplier").pk,
                parts=rows.parts,
                actor=request.user,
                **values,
            )
        except AlreadyDone as done:
            return already_done(request, done)
        except RuleBroken as refusal:
            form.add_error(None, str(refusal))
        else:
            messages.success(request, _("The bill is recorded and posted."))
            return redirect("costs:bill", bill.pk)
    elif form.is_bound and not rows.is_valid():
        form.add_error(None, _("Some rows need mending: it says what beside each."))
    return render(request, "costs/record_bill.html", {"form": form, "rows": rows}, status=status_of(form))


@require_http_methods(["GET", "POST"])
def bill_page(request: HttpRequest, pk: int) -> HttpResponse:
    bill = get_object_or_404(queries.bills(today=request.today), pk=pk)
    currency = request.business.currency
    initial = {"paid_on": request.today, "amount": Money(bill.owed_cents, currency)}
    form = forms.PayBill(request.POST or None, initial=initial, currency=currency)
    if form.is_valid():
        values = dict(form.cleaned_data)
        try:
            services.pay_bill(bill_id=bill.pk, cents=values.pop("amount").cents, actor=request.user, **values)
        except AlreadyDone as done:
            return already_done(request, done)
        except RuleBroken as refusal:
            form.add_error(None, str(refusal))
        else:
            messages.success(request, _("The payment is posted."))
            return redirect("costs:bill", bill.pk)
    return render(request, "costs/bill.html", _bill_context(request, bill, form), status=status_of(form))


def _bill_context(request: HttpRequest, bill: Bill, form: forms.PayBill) -> dict[str, Any]:
    currency = request.business.currency
    may_reverse = may_open(request.user.role, "costs:payment-reverse")
    lines = list(queries.bill_lines(bill))
    return {
        "bill": bill,
        "form": form,
        "lines": tables.BillLineTable(
            lines,
            request=request,
            currency=currency,
            totals={"cents": bill.total_cents},
            exclude=[] if any(line.subject for line in lines) else ["subject"],
        ),
        "payments": tables.PaymentTable(
            queries.payments(bill),
            request=request,
            currency=currency,
            totals={"cents": bill.paid_cents},
            exclude=[] if may_reverse else ["reverse_act"],
        ),
        "panels": panels_for("bill", request, bill),
    }


@require_http_methods(["GET", "POST"])
def reverse_bill(request: HttpRequest, pk: int) -> HttpResponse:
    bill = get_object_or_404(queries.bills(today=request.today), pk=pk)
    form = forms.PutRight(request.POST or None, initial={"reversed_on": request.today})
    if form.is_valid():
        try:
            services.reverse_bill(bill_id=bill.pk, actor=request.user, **form.cleaned_data)
        except AlreadyDone as done:
            return already_done(request, done)
        except RuleBroken as refusal:
            form.add_error(None, str(refusal))
        else:
            messages.success(request, _("The bill is reversed; record the right one under the same number."))
            return redirect("costs:bill", bill.pk)
    context = {
        "form": form,
        "bill": bill,
        "heading": _("Reverse bill %(reference)s") % {"reference": bill.reference},
        "question": _("Take this bill back?"),
        "consequences": [
            _("A second entry takes its posting back; both stay in the journal."),
            _("The bill stays in the list as reversed, and its number may be recorded anew."),
        ],
    }
    return render(request, "costs/put_right.html", context, status=status_of(form))


@require_http_methods(["GET", "POST"])
def reverse_payment(request: HttpRequest, pk: int) -> HttpResponse:
    payment = get_object_or_404(queries.all_payments(), pk=pk)
    form = forms.PutRight(request.POST or None, initial={"reversed_on": request.today})
    if form.is_valid():
        try:
            services.reverse_payment(payment_id=payment.pk, actor=request.user, **form.cleaned_data)
        except AlreadyDone as done:
            return already_done(request, done)
        except RuleBroken as refusal:
            form.add_error(None, str(refusal))
        else:
            messages.success(request, _("The payment is reversed; the bill is owed again."))
            return redirect("costs:bill", payment.bill_id)
    amount = Money(payment.cents, request.business.currency)
    context = {
        "form": form,
        "bill": payment.bill,
        "heading": _("Reverse the payment of %(amount)s") % {"amount": amount},
        "question": _("Take this payment back?"),
        "consequences": [
            _("For a payment entered by mistake: no money moves by this, only the books are put right."),
            _("The bill is owed again by %(amount)s.") % {"amount": amount},
        ],
    }
    return render(request, "costs/put_right.html", context, status=status_of(form))


@require_safe
def supplier_list(request: HttpRequest) -> HttpResponse:
    table = table_for(request, tables.SupplierTable, queries.suppliers_with_owed(), currency=request.business.currency)
    if wants_file(request):
        return table_file(request, table, "suppliers")
    return render(request, "costs/supplier_list.html", {"table": table, "exports": export_links(request)})


@require_http_methods(["GET", "POST"])
def add_supplier(request: HttpRequest) -> HttpResponse:
    form = forms.AddSupplier(request.POST or None, initial={"currency": request.business.currency})
    if form.is_valid():
        try:
            supplier = services.add_supplier(actor=request.user, **form.cleaned_data)
        except RuleBroken as refusal:
            form.add_error("name", str(refusal))
        else:
            messages.success(request, _("%(name)s is added.") % {"name": supplier})
            return redirect("costs:suppliers")
    return render(request, "costs/supplier_form.html", {"form": form}, status=status_of(form))


@require_http_methods(["GET", "POST"])
def edit_supplier(request: HttpRequest, pk: int) -> HttpResponse:
    supplier = get_object_or_404(queries.suppliers(), pk=pk)
    initial = {name: getattr(supplier, name) for name in (*forms.SUPPLIER_FIELDS, "version")}
    form = forms.EditSupplier(request.POST or None, initial=initial)
    if form.is_valid():
        values = dict(form.cleaned_data)
        version = values.pop("version")
        try:
            services.edit_supplier(supplier_id=supplier.pk, version=version, changes=values, actor=request.user)
        except StaleRecord as refusal:
            form.show_stale(refusal)
        except RuleBroken as refusal:
            form.add_error("name", str(refusal))
        else:
            messages.success(request, _("Saved."))
            return redirect("costs:suppliers")
    context = {"form": form, "supplier": supplier, "history": history_rows(supplier)}
    context["panels"] = panels_for("supplier", request, supplier)
    return render(request, "costs/supplier_form.html", context, status=status_of(form))


@require_http_methods(["GET", "POST"])
def state_assumptions(request: HttpRequest) -> HttpResponse:
    standing = queries.cost_assumptions(request.season.pk)
    currency = request.business.currency
    form = forms.StateAssumptions(request.POST or None, initial=_stated(standing, currency), currency=currency)
    if form.is_valid():
        try:
            services.state_cost_assumptions(
                season_id=request.season.pk,
                version=form.cleaned_data["version"],
                changes=form.changes,
                actor=request.user,
            )
        except StaleRecord as refusal:
            form.show_stale(refusal)
        else:
            messages.success(request, _("Stated. The margin counts with it from now on."))
            return redirect("costs:assumptions")
    history = history_rows(standing) if standing.pk else []
    return render(request, "costs/assumptions.html", {"form": form, "history": history}, status=status_of(form))


def _stated(standing: CostAssumptions, currency: str) -> dict[str, Any]:
    names = ("bees_share_percent", "pooled_driver", "own_hours", "version")
    amounts = {"own_hour": standing.own_hour_cents, "honey_given_up": standing.honey_given_up_cents}
    return {name: getattr(standing, name) for name in names} | {
        name: None if cents is None else Money(cents, currency) for name, cents in amounts.items()
    }
