from django.contrib import messages
from django.forms import Form
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from apiary_ops.core.answers import already_done, form_page, status_of
from apiary_ops.core.history import history_rows
from apiary_ops.core.once import AlreadyDone
from apiary_ops.core.panels import panels_for
from apiary_ops.core.tables import export_links, table_file, table_for, wants_file
from apiary_ops.core.versions import StaleRecord
from apiary_ops.costs.services import BillAlreadyRecorded, DueBeforeBilled
from apiary_ops.kernel.money import Money
from apiary_ops.kernel.refusals import RuleBroken
from apiary_ops.people.access import may_open

from . import forms, queries, services, tables
from .compute import LandedCost, landed_cost
from .models import Lot

# The field beside which a refusal is shown; the others stand above the form.
_BESIDE: dict[type[RuleBroken], str] = {
    services.NotABreeder: "supplier",
    services.NoQueensAsked: "queens",
    services.ShipsTooEarly: "ship_week",
    services.FewerThanReceived: "queens",
    services.CancelledTooEarly: "on",
    services.MoreThanOrdered: "received",
    services.MoreDeadThanArrived: "dead_on_arrival",
    services.ReceivedTooEarly: "received_on",
    services.NothingToPay: "freight",
    BillAlreadyRecorded: "reference",
    DueBeforeBilled: "due_on",
    services.QueensNotThere: "queens",
    services.NotLandedYet: "on",
}


@require_safe
def overview(request: HttpRequest) -> HttpResponse:
    season = request.season
    bank = queries.bank(season.pk, request.today)
    orders = table_for(
        request,
        tables.QueenOrderTable,
        queries.queen_orders(season.pk),
        prefix="orders-",
        currency=request.business.currency,
        exclude=_hidden_columns(request),
    )
    lots = table_for(request, tables.LotTable, queries.lots(season.pk), prefix="lots-")
    if wants_file(request):
        named = (lots, "queen-lots") if request.GET.get("list") == "lots" else (orders, "queen-orders")
        return table_file(request, *named)
    context = {
        "bank": table_for(request, tables.BankTable, bank, prefix="bank-", per_page=None),
        "orders": orders,
        "order_files": export_links(request, list="orders"),
        "lots": lots,
        "lot_files": export_links(request, list="lots"),
        "tally": queries.tally(season.pk),
        "due": queries.due_total(season.pk),
        "next_cancel": queries.next_cancel(season.pk, request.today),
    }
    return render(request, "queens/overview.html", context)


@require_http_methods(["GET", "POST"])
def add_order(request: HttpRequest) -> HttpResponse:
    initial = {"ordered_on": request.today}
    currency = request.business.currency
    form = forms.OrderQueens(request.POST or None, initial=initial, breeders=queries.breeders(), currency=currency)
    if form.is_valid():
        values = dict(form.cleaned_data)
        price = values.pop("unit_price")
        supplier = values.pop("supplier")
        try:
            order = services.order_queens(
                season_id=request.season.pk,
                supplier_id=supplier.pk,
                unit_price_cents=price.cents,
                actor=request.user,
                **values,
            )
        except RuleBroken as refusal:
            _refuse(form, refusal)
        else:
            words = {"queens": order.queens, "breeder": supplier}
            messages.success(request, _("%(queens)s queens are ordered from %(breeder)s.") % words)
            return redirect("queens:order", order.pk)
    return form_page(request, form, heading=_("Order queens"), back=reverse("queens:overview"), submit=_("Order"))


@require_safe
def order_page(request: HttpRequest, pk: int) -> HttpResponse:
    order = get_object_or_404(queries.queen_order(pk))
    lots = tables.LotTable(queries.lots_of(order), exclude=("breeder",), orderable=False)
    currency = request.business.currency if request.user.sees_prices else ""
    context = {"order": order, "lots": lots, "history": history_rows(order, currency=currency)}
    return render(request, "queens/order.html", context)


@require_http_methods(["GET", "POST"])
def edit_order(request: HttpRequest, pk: int) -> HttpResponse:
    order = get_object_or_404(queries.queen_order(pk))
    currency = request.business.currency
    initial = {name: getattr(order, name) for name in ("version", "queens", "ship_week", "cancel_by")}
    initial["unit_price"] = Money(order.unit_price_cents, currency)
    form = forms.EditQueenOrder(request.POST or None, initial=initial, currency=currency)
    if form.is_valid():
        values = dict(form.cleaned_data)
        version, price = values.pop("version"), values.pop("unit_price")
        changes = {**values, "unit_price_cents": price.cents}
        try:
            services.edit_queen_order(order_id=pk, version=version, changes=changes, actor=request.user)
        except StaleRecord as refusal:
            form.show_stale(refusal)
        except RuleBroken as refusal:
            _refuse(form, refusal)
        else:
            messages.success(request, _("Saved."))
            return redirect("queens:order", pk)
    return form_page(
        request,
        form,
        heading=_("Change the order from %(breeder)s") % {"breeder": order.supplier},
        back=reverse("queens:order", args=[pk]),
        submit=_("Save"),
    )


@require_http_methods(["GET", "POST"])
def cancel_order(request: HttpRequest, pk: int) -> HttpResponse:
    order = get_object_or_404(queries.queen_order(pk))
    form = forms.CancelOrder(request.POST or None, today=request.today)
    if form.is_valid():
        try:
            services.cancel_queen_order(order_id=pk, actor=request.user, **form.cleaned_data)
        except RuleBroken as refusal:
            _refuse(form, refusal)
        else:
            messages.success(request, _("The order is cancelled; queens that came stay."))
            return redirect("queens:order", pk)
    too_late = order.cancel_by is not None and order.cancel_by < request.today
    context = {"form": form, "order": order, "too_late": too_late}
    return render(request, "queens/order_cancel.html", context, status=status_of(form))


@require_http_methods(["GET", "POST"])
def receive(request: HttpRequest, pk: int) -> HttpResponse:
    order = get_object_or_404(queries.queen_order(pk))
    form = forms.ReceiveLot(request.POST or None, today=request.today, currency=request.business.currency)
    if form.is_valid():
        values = dict(form.cleaned_data)
        freight, papers = values.pop("freight"), values.pop("papers")
        try:
            lot = services.receive_lot(
                order_id=pk, freight_cents=freight.cents, papers_cents=papers.cents, actor=request.user, **values
            )
        except AlreadyDone as done:
            return already_done(request, done)
        except RuleBroken as refusal:
            _refuse(form, refusal)
        else:
            messages.success(request, _("Lot %(code)s is in the bank.") % {"code": lot.code})
            return redirect("queens:lot", lot.code)
    context = {"form": form, "order": order}
    return render(request, "queens/receive.html", context, status=status_of(form))


@require_safe
def lot_page(request: HttpRequest, code: str) -> HttpResponse:
    lot = get_object_or_404(queries.lot_in_full(code))
    money = request.user.sees_prices
    currency = request.business.currency
    context = {
        "lot": lot,
        "days_left": (lot.hive_by - request.today).days,
        "moves": tables.MoveTable(queries.moves(lot), currency=currency, exclude=() if money else ("cost_cents",)),
        "cost": _cost(lot) if money else None,
        "queens_cents": lot.received * lot.unit_price_cents,
        "postings": _postings(request, lot) if money else None,
        "panels": panels_for("lot", request, lot),
    }
    return render(request, "queens/lot.html", context)


def _postings(request: HttpRequest, lot: Lot) -> tables.PostingTable:
    """What the lot posted; only those who keep the books open the entries."""
    table = tables.LinkedPostingTable if may_open(request.user.role, "books:entry") else tables.PostingTable
    return table(queries.postings(lot), currency=request.business.currency)


@require_http_methods(["GET", "POST"])
def record_dead(request: HttpRequest, code: str) -> HttpResponse:
    lot = get_object_or_404(queries.lot_in_full(code))
    form = forms.DeadQueens(request.POST or None, today=request.today)
    if form.is_valid():
        try:
            services.record_dead_queens(lot_id=lot.pk, actor=request.user, **form.cleaned_data)
        except AlreadyDone as done:
            return already_done(request, done)
        except RuleBroken as refusal:
            _refuse(form, refusal)
        else:
            messages.success(request, _("Recorded."))
            return redirect("queens:lot", code)
    return form_page(
        request,
        form,
        heading=_("Dead in the bank, lot %(code)s") % {"code": code},
        back=reverse("queens:lot", args=[code]),
        submit=_("Record"),
    )


def _hidden_columns(request: HttpRequest) -> tuple[str, ...]:
    hidden = () if request.user.sees_prices else ("unit_price_cents",)
    return hidden if may_open(request.user.role, "queens:receive") else (*hidden, "act")


def _cost(lot: Lot) -> LandedCost:
    return landed_cost(
        received=lot.received,
        dead_on_arrival=lot.dead_on_arrival,
        unit_price_cents=lot.unit_price_cents,
        freight_cents=lot.freight_cents,
        papers_cents=lot.papers_cents,
    )


def _refuse(form: Form, refusal: RuleBroken) -> None:
    field = _BESIDE.get(type(refusal))
    form.add_error(field if field in form.fields else None, str(refusal))
