from collections.abc import Callable

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from apiary_ops.allocation import queries as allocation_queries
from apiary_ops.core.answers import status_of
from apiary_ops.core.history import history_rows
from apiary_ops.kernel.refusals import RuleBroken
from apiary_ops.pickups import forms, queries, services, tables
from apiary_ops.pickups.models import Booking


@require_http_methods(["GET", "POST"])
def book(request: HttpRequest, pk: int) -> HttpResponse:
    """First the order, by number or buyer (in the address); then a window and how many of each line."""
    day = get_object_or_404(queries.day_in_full(request.season.pk), pk=pk)
    order = queries.order_at_gate(request.season.pk).filter(number=request.GET.get("order", "")).first()
    lines = list(allocation_queries.takers(request.season.pk).filter(order=order)) if order else []
    if not lines:
        return _find_order(request, day)
    windows = [window for window in queries.free_windows(request.season.pk, day.on) if window.day_id == day.pk]
    form = forms.Book(request.POST or None, lines=lines, windows=forms.window_choices(windows))
    if form.is_valid():
        try:
            booking = services.book(
                order_id=order.pk,
                window_id=form.cleaned_data["window"],
                quantities=form.quantities,
                actor=request.user,
            )
        except RuleBroken as refusal:
            form.add_error(None, str(refusal))
        else:
            messages.success(request, _("%(buyer)s is booked.") % {"buyer": order.buyer})
            return redirect("pickups:booking", booking.pk)
    context = {"form": form, "day": day, "order": order, "has_windows": bool(windows)}
    return render(request, "pickups/book.html", context, status=status_of(form))


def _find_order(request: HttpRequest, day) -> HttpResponse:
    form = forms.Search(request.GET)
    form.is_valid()
    found = queries.orders_to_collect(request.season.pk, form.cleaned_data.get("q", ""))
    table = tables.OrderToBookTable(found, request=request, day_pk=day.pk)
    return render(request, "pickups/book_find.html", {"form": form, "day": day, "table": table})


@require_safe
def booking_page(request: HttpRequest, pk: int) -> HttpResponse:
    booking = _booking(request, pk)
    (row,) = queries.booking_rows([booking], on=booking.window.day.on)
    context = {"row": row, "booking": booking, "history": history_rows(booking)}
    return render(request, "pickups/booking.html", context)


@require_http_methods(["GET", "POST"])
def move_booking(request: HttpRequest, pk: int) -> HttpResponse:
    booking = _booking(request, pk)
    windows = queries.free_windows(request.season.pk, request.today).exclude(pk=booking.window_id)
    form = forms.MoveBooking(request.POST or None, windows=forms.window_choices(windows))
    if form.is_valid():
        try:
            moved = services.move_booking(
                booking_id=booking.pk, window_id=form.cleaned_data["window"], actor=request.user
            )
        except RuleBroken as refusal:
            form.add_error(None, str(refusal))
        else:
            messages.success(request, _("Moved to %(window)s.") % {"window": moved.window})
            return redirect("pickups:booking", booking.pk)
    context = {"form": form, "booking": booking}
    return render(request, "pickups/booking_move.html", context, status=status_of(form))


@require_http_methods(["GET", "POST"])
def choose_nucs(request: HttpRequest, pk: int) -> HttpResponse:
    booking = _booking(request, pk)
    day = booking.window.day
    rows = queries.line_choices(booking.order, on=max(day.on, request.today), booking=booking, yard_id=day.yard_id)
    form = forms.NucsByLine(request.POST or None, rows=rows)
    if form.is_valid():
        try:
            services.choose_nucs(booking_id=booking.pk, nucs=form.nucs, at=request.now, actor=request.user)
        except RuleBroken as refusal:
            form.add_error(None, str(refusal))
        else:
            messages.success(request, _("These nucs stand ready for %(buyer)s.") % {"buyer": booking.order.buyer})
            return redirect("pickups:booking", booking.pk)
    context = {"form": form, "booking": booking}
    return render(request, "pickups/booking_nucs.html", context, status=status_of(form))


@require_http_methods(["GET", "POST"])
def miss_booking(request: HttpRequest, pk: int) -> HttpResponse:
    return _end_booking(
        request, pk, services.miss_booking, "pickups/booking_miss.html", _("Written down: nobody came.")
    )


@require_http_methods(["GET", "POST"])
def cancel_booking(request: HttpRequest, pk: int) -> HttpResponse:
    return _end_booking(
        request, pk, services.cancel_booking, "pickups/booking_cancel.html", _("The booking is cancelled.")
    )


def _end_booking(request: HttpRequest, pk: int, act: Callable[..., Booking], template: str, done: str) -> HttpResponse:
    booking = _booking(request, pk)
    refusal = ""
    if request.method == "POST":
        try:
            act(booking_id=booking.pk, actor=request.user)
        except RuleBroken as broken:
            refusal = str(broken)
        else:
            messages.success(request, done)
            return redirect("pickups:day", booking.window.day_id)
    return render(request, template, {"booking": booking, "refusal": refusal}, status=422 if refusal else 200)


def _booking(request: HttpRequest, pk: int) -> Booking:
    return get_object_or_404(queries.booking_in_full(request.season.pk), pk=pk)
