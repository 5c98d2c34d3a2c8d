from dataclasses import replace
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.template.loader import render_to_string
from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from apiary_ops.business.queries import NothingSetUp, terms_on
from apiary_ops.core.answers import already_done, status_of
from apiary_ops.core.days import spoken_day
from apiary_ops.core.history import HistoryRow, history_rows
from apiary_ops.core.once import AlreadyDone
from apiary_ops.core.panels import panels_for
from apiary_ops.core.tables import export_links, table_file, table_for, wants_file
from apiary_ops.core.versions import StaleRecord
from apiary_ops.kernel.money import Money
from apiary_ops.kernel.refusals import RuleBroken
from apiary_ops.orders import compute, filters, forms, queries, services, tables
from apiary_ops.orders.models import Buyer, Line, Order


@require_safe
def order_list(request: HttpRequest) -> HttpResponse:
    chosen = filters.OrderFilters(request.GET, queryset=queries.orders(request.season.pk), request=request)
    table = table_for(
        request,
        tables.OrderTable,
        chosen.qs,
        today=request.today,
        currency=request.business.currency,
        totals=queries.sums(chosen.qs),
    )
    if wants_file(request):
        return table_file(request, table, f"orders-{request.season}")
    context = {
        "table": table,
        "filters": chosen,
        "exports": export_links(request),
        "is_empty": not table.paginator.count and not chosen.clear_url,
        "can_sell": queries.can_sell(request.season.pk, request.today),
    }
    return render(request, "orders/order_list.html", context)


@require_safe
def order_page(request: HttpRequest, number: str) -> HttpResponse:
    order = get_object_or_404(queries.orders_in_full(), number=number)
    lines = list(queries.lines_of(order))
    table = tables.LineTable(
        lines,
        request=request,
        currency=request.business.currency,
        more={line.pk: _line_panels(request, line) for line in lines},
        reasons=queries.cancel_reasons(order),
    )
    nucs, cents = compute.standing_total([(line.quantity, line.price_cents) for line in lines if not line.is_gone])
    context = {
        "order": order,
        "table": table,
        "nucs": nucs,
        "cents": cents,
        "deposit_word": queries.deposit_word(order, request.today),
        "refund_until": queries.refund_until(order),
        "panels": panels_for("order", request, order),
        "history": _history(order, lines, request.business.currency),
    }
    return render(request, "orders/order.html", context)


def _line_panels(request: HttpRequest, line: Line) -> SafeString:
    """What higher apps say of a line, in its own cell of the table."""
    panels = panels_for("line", request, line)
    return mark_safe("".join(render_to_string(panel.template, {"panel": panel}, request) for panel in panels))


def _history(order: Order, lines: list[Line], currency: str) -> list[HistoryRow]:
    """Changes of the order and of its lines; a line is named by what it asks for."""
    rows = history_rows(order, currency=currency)
    for line in lines:
        changed = [row for row in history_rows(line, currency=currency) if row.changes]
        rows += [replace(row, what=f"{line.quantity} × {line.kind}") for row in changed]
    return sorted(rows, key=lambda row: row.when, reverse=True)[:20]


@require_http_methods(["GET", "POST"])
def new_order(request: HttpRequest) -> HttpResponse:
    """Who is ringing: find the buyer, or write down a new one, and go on to what they ask for."""
    search = forms.FindBuyer(request.GET or None)
    text = search.cleaned_data["q"].strip() if search.is_valid() else ""
    form = forms.AddBuyer(request.POST or None, initial=_first_guess(text))
    duplicates: list[Buyer] = []
    if form.is_valid():
        fields = form.fields_of_buyer
        duplicates = queries.likely_duplicates(name=fields["name"], phone=fields["phone"], email=fields["email"])
        if not form.unseen(duplicates):
            buyer = services.add_buyer(actor=request.user, **fields)
            return redirect("orders:place", buyer.pk)
    context = {
        "search": search,
        "text": text,
        "found": queries.buyers(text)[: queries.MOST_SUGGESTIONS] if text else [],
        "form": form,
        "duplicates": duplicates,
    }
    return render(request, "orders/new_order.html", context, status=422 if form.errors else 200)


def _first_guess(text: str) -> dict[str, str]:
    """What was searched for goes into the field it looks like."""
    if "@" in text:
        return {"email": text}
    return {"name": text} if any(letter.isalpha() for letter in text) else {"phone": text}


@require_http_methods(["GET", "POST"])
def place_order(request: HttpRequest, buyer_pk: int) -> HttpResponse:
    buyer = get_object_or_404(queries.buyers(), pk=buyer_pk)
    form, rows = _order_forms(request)
    if request.POST.get("act") in ("sums", "more"):
        return _order_form_page(request, buyer, form, rows, status=200)
    if form.is_valid() & rows.is_valid():
        try:
            order = services.place_order(
                season_id=request.season.pk,
                buyer_id=buyer.pk,
                lines=rows.drafts,
                actor=request.user,
                **form.values,
            )
        except AlreadyDone as done:
            return already_done(request, done)
        except RuleBroken as refusal:
            form.add_error(None, str(refusal))
        else:
            messages.success(request, _taken(order, request.business.currency))
            return redirect("orders:order", order.number)
    elif form.is_bound and not rows.is_valid():
        form.add_error(None, _("Some rows need mending: it says what beside each."))
    return _order_form_page(request, buyer, form, rows, status=status_of(form))


def _order_forms(request: HttpRequest) -> tuple[forms.PlaceOrder, Any]:
    """The order and its rows as sent; with act=more, some empty rows more."""
    data = request.POST.copy() if request.method == "POST" else None
    shown = data.get("rows-TOTAL_FORMS", "") if data else ""
    if data and data.get("act") == "more" and shown.isdecimal() and len(shown) < 4:
        data["rows-TOTAL_FORMS"] = str(min(int(shown) + forms.ROWS_MORE, forms.MOST_ROWS))
    season_id = request.season.pk
    offer = forms.Offer(
        kinds=list(queries.kinds_on_sale(season_id, request.today)),
        rounds=list(queries.open_rounds(season_id, request.today)),
        usual_kind=queries.usual_kind(season_id),
    )
    form = forms.PlaceOrder(data, initial={"placed_on": request.today})
    return form, forms.LineRowSet(data, prefix="rows", form_kwargs={"offer": offer})


def _order_form_page(
    request: HttpRequest, buyer: Buyer, form: forms.PlaceOrder, rows: Any, *, status: int
) -> HttpResponse:
    day = form.cleaned_data.get("placed_on") if form.is_bound and form.is_valid() else None
    context = {
        "buyer": buyer,
        "form": form,
        "rows": rows,
        "sums": _sums(request, buyer, rows.asked if rows.is_bound else [], day or request.today),
        "price_list": queries.price_list(season_id=request.season.pk, tier=buyer.tier, day=request.today),
        "can_sell": queries.can_sell(request.season.pk, request.today),
        "standing": queries.orders_of_buyer(buyer).filter(season=request.season),
        "panels": panels_for("new-order", request, buyer),
    }
    return render(request, "orders/place_order.html", context, status=status)


def _sums(request: HttpRequest, buyer: Buyer, asked: list[Any], day: Any) -> dict[str, Any] | None:
    """What the rows come to and the deposit the terms of that day ask; None when nothing is asked yet."""
    if not asked:
        return None
    lines = queries.price_lines(season_id=request.season.pk, tier=buyer.tier, day=day, asked=asked)
    nucs, cents = compute.standing_total([(line.quantity, line.cents or 0) for line in lines])
    try:
        terms = terms_on(day)
    except NothingSetUp as missing:
        return {"lines": lines, "nucs": nucs, "cents": cents, "missing": str(missing)}
    due = compute.deposit_due(cents_per_nuc=terms.deposit_cents_per_nuc, nucs=nucs, total_cents=cents)
    return {"lines": lines, "nucs": nucs, "cents": cents, "deposit": due, "due_days": terms.due_days, "terms": terms}


def _taken(order: Order, currency: str) -> str:
    return _("Order %(number)s is taken. Ask for a deposit of %(deposit)s by %(day)s.") % {
        "number": order.number,
        "deposit": Money(order.deposit_due_cents, currency),
        "day": spoken_day(order.deposit_due_on),
    }


@require_http_methods(["GET", "POST"])
def edit_order(request: HttpRequest, number: str) -> HttpResponse:
    order = get_object_or_404(queries.orders_in_full(), number=number)
    initial = {"pickup_yard": order.pickup_yard, "notes": order.notes, "version": order.version}
    form = forms.EditOrder(request.POST or None, initial=initial)
    if form.is_valid():
        yard = form.cleaned_data["pickup_yard"]
        changes = {"pickup_yard_id": yard.pk if yard else None, "notes": form.cleaned_data["notes"]}
        version = form.cleaned_data["version"]
        try:
            services.edit_order(order_id=order.pk, version=version, changes=changes, actor=request.user)
        except StaleRecord as refusal:
            form.show_stale(refusal)
        else:
            messages.success(request, _("Saved."))
            return redirect("orders:order", order.number)
    context = {"form": form, "order": order}
    return render(request, "orders/edit_order.html", context, status=status_of(form))
