from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from django.db.models import QuerySet
from django.utils.translation import gettext as _

from apiary_ops.allocation import queries as allocation_queries
from apiary_ops.allocation.models import Binding
from apiary_ops.orders.models import Order
from apiary_ops.pickups.models import Booking, PickupDay

from .owed import Expected, expected

STATE_TONES = {"booked": "now", "collected": "good", "missed": "mind", "cancelled": "quiet"}


@dataclass(frozen=True, slots=True)
class BookingRow:
    """A booking as a day, the gate and the run sheet show it."""

    booking: Booking
    nucs: int
    kinds: str  # "2 × 5-frame spring nuc"
    stands: str  # "12, 13 at Mill yard"
    numbered: int
    owed_cents: int

    @property
    def tone(self) -> str:
        return STATE_TONES[self.booking.state]

    @property
    def is_open(self) -> bool:
        return self.booking.state == Booking.State.BOOKED

    @property
    def is_missed(self) -> bool:
        return self.booking.state == Booking.State.MISSED

    @property
    def is_collected(self) -> bool:
        return self.booking.state == Booking.State.COLLECTED

    @property
    def lacks_numbers(self) -> bool:
        return self.is_open and self.numbered < self.nucs


def _in_full() -> QuerySet[Booking]:
    rows = Booking.objects.select_related("order__buyer", "window__day__yard", "booked_by", "hand_over__invoice")
    return rows.prefetch_related("lines__line__kind", "hand_over__nucs__nuc")


def booking_in_full(season_id: int) -> QuerySet[Booking]:
    """The bookings of a season with order, buyer, window and lines, for get_object_or_404."""
    return _in_full().filter(window__day__season_id=season_id)


def bookings_of(order: Order) -> QuerySet[Booking]:
    """Every booking of an order, latest first."""
    return _in_full().filter(order=order).order_by("-id")


def rows_of_days(days: Iterable[PickupDay], *, on: date) -> list[BookingRow]:
    """The bookings of some days by window and buyer, cancelled ones left out."""
    bookings = _in_full().filter(window__day__in=list(days)).exclude(state=Booking.State.CANCELLED)
    return booking_rows(bookings.order_by("window__starts_at", "window_id", "order__buyer__search_key", "id"), on=on)


def booking_rows(bookings: Iterable[Booking], *, on: date) -> list[BookingRow]:
    """Rows for bookings read in full, in a fixed number of queries; `on` is the day for tax rates."""
    bookings = list(bookings)
    waiting = [row for row in bookings if row.state != Booking.State.COLLECTED]
    owed = expected({row.order_id: _still_to_come(row) for row in waiting}, on)
    bound = _bound(row.order_id for row in waiting)
    return [_row(row, bound.get(row.order_id, []), owed) for row in bookings]


def _still_to_come(booking: Booking) -> dict[int, int]:
    """What of a booking can still be handed over: part of it may have left without it."""
    lines = {row.line_id: min(row.quantity, row.line.outstanding) for row in booking.lines.all()}
    return {line_id: nucs for line_id, nucs in lines.items() if nucs > 0}


def _bound(order_ids: Iterable[int]) -> dict[int, list[Binding]]:
    found: dict[int, list[Binding]] = {}
    for binding in allocation_queries.bindings_of(order_ids):
        found.setdefault(binding.line.order_id, []).append(binding)
    return found


def _row(booking: Booking, bound: list[Binding], owed: dict[int, Expected]) -> BookingRow:
    is_collected = booking.state == Booking.State.COLLECTED
    lines = list(booking.lines.all())
    return BookingRow(
        booking=booking,
        nucs=sum(row.quantity for row in lines),
        kinds=", ".join(f"{row.quantity} × {row.line.kind}" for row in lines),
        stands=_left_with(booking) if is_collected else _stands(bound),
        numbered=len(bound),
        owed_cents=booking.hand_over.invoice.owed_cents if is_collected else owed[booking.order_id].owed_cents,
    )


def _left_with(booking: Booking) -> str:
    numbers = sorted(row.nuc.number for row in booking.hand_over.nucs.all())
    return _("%(numbers)s, gone") % {"numbers": ", ".join(map(str, numbers))}


def _stands(bound: Iterable[Binding]) -> str:
    """Numbers by yard: "12, 13 at Mill yard; 40 at Home"."""
    by_yard: dict[str, list[str]] = {}
    for binding in bound:
        by_yard.setdefault(str(binding.nuc.yard), []).append(str(binding.nuc.number))
    return "; ".join(
        _("%(numbers)s at %(yard)s") % {"numbers": ", ".join(numbers), "yard": yard}
        for yard, numbers in by_yard.items()
    )
