from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_safe

from apiary_ops.billing import queries as billing_queries
from apiary_ops.kernel.refusals import RuleBroken
from apiary_ops.pickups import forms, queries, services


@require_safe
def gate(request: HttpRequest) -> HttpResponse:
    """Today's bookings; with words in the address, every order they find that nucs are owed on."""
    form = forms.Search(request.GET)
    form.is_valid()
    words = form.cleaned_data.get("q", "").strip()
    days = list(queries.days_on(request.season.pk, request.today))
    rows = queries.rows_of_days(days, on=request.today)
    context = {"form": form, "words": words, "days": days, "is_one_yard": len(days) == 1}
    if words:
        context["found"] = queries.orders_to_collect(request.season.pk, words)
    else:
        context["coming"] = [row for row in rows if row.is_open or row.is_missed]
        context["gone"] = [row for row in rows if row.is_collected]
    return render(request, "pickups/gate.html", context)


@require_http_methods(["GET", "POST"])
def hand_over(request: HttpRequest, number: str) -> HttpResponse:
    order = get_object_or_404(queries.order_at_gate(request.season.pk), number=number)
    booking = queries.open_booking(order, request.today)
    yard_id = _yard_of(request, booking)
    rows = queries.line_choices(order, on=request.today, booking=booking, yard_id=yard_id)
    form = forms.HandOver(
        request.POST or None, rows=rows, currency=request.business.currency, initial={"taken_by": order.buyer.name}
    )
    is_reckoning = request.POST.get("act") == "reckon"
    if form.is_valid() and not is_reckoning:
        try:
            done = services.hand_over(
                once_key=form.cleaned_data["once_key"],
                order_id=order.pk,
                booking_id=booking.pk if booking else None,
                nucs=form.nucs,
                taken_by_name=form.cleaned_data["taken_by"],
                payment_cents=form.cleaned_data["payment"].cents if form.cleaned_data["payment"] else 0,
                method=form.cleaned_data["method"],
                at=request.now,
                actor=request.user,
            )
        except services.PaidTooMuch as refusal:
            form.add_error("payment", str(refusal))
        except RuleBroken as refusal:
            form.add_error(None, str(refusal))
        else:
            return redirect("pickups:handed", done.pk)
    quantities = form.quantities if form.is_bound else _suggested(rows)
    context = {
        "form": form,
        "order": order,
        "booking": booking,
        "nucs": sum(quantities.values()),
        "sums": queries.expected({order.pk: quantities}, request.today)[order.pk],
        "hand_overs": queries.hand_overs_of(order),
        "is_refused": form.is_bound and not is_reckoning,
    }
    return render(request, "pickups/hand_over.html", context, status=422 if context["is_refused"] else 200)


def _yard_of(request: HttpRequest, booking) -> int | None:
    """The yard of the booking; without one, the only yard where buyers collect today."""
    if booking:
        return booking.window.day.yard_id
    days = list(queries.days_on(request.season.pk, request.today))
    return days[0].yard_id if len(days) == 1 else None


def _suggested(rows) -> dict[int, int]:
    counts = {row.line.pk: sum(1 for choice in row.choices if choice.is_suggested) for row in rows}
    return {pk: nucs for pk, nucs in counts.items() if nucs}


@require_safe
def handed_over(request: HttpRequest, pk: int) -> HttpResponse:
    done = get_object_or_404(queries.hand_over_in_full(request.season.pk), pk=pk)
    numbers = ", ".join(str(row.nuc) for row in sorted(done.nucs.all(), key=lambda row: row.nuc.number))
    context = {"done": done, "numbers": numbers, "payments": billing_queries.payments_of(done.invoice)}
    return render(request, "pickups/handed.html", context)
