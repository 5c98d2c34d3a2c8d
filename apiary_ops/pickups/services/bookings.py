from collections.abc import Mapping

from django.db import transaction
from django.utils.translation import gettext as _

from apiary_ops.allocation import queries as allocation_queries
from apiary_ops.business import stamps
from apiary_ops.core.history import sign
from apiary_ops.kernel.refusals import RuleBroken
from apiary_ops.orders import services as orders
from apiary_ops.orders.models import Order
from apiary_ops.people.models import User
from apiary_ops.pickups.models import Booking, BookingLine, Window


class WindowFull(RuleBroken):
    """A window whose places are all taken."""


class DayIsClosed(RuleBroken):
    """A pickup day that is over."""


class AlreadyBooked(RuleBroken):
    """An order has one open booking."""


class NothingToCollect(RuleBroken):
    """Nothing to book, or more than is owed."""


class BookingIsOver(RuleBroken):
    """A booking that was collected or cancelled."""


@transaction.atomic
def book(*, order_id: int, window_id: int, quantities: Mapping[int, int], actor: User) -> Booking:
    """Give an order a place in a window, to collect `quantities` (nucs by line).

    Raises AlreadyBooked, NothingToCollect, DayIsClosed, WindowFull.
    """
    order = _locked_order(order_id)
    standing = Booking.objects.filter(order=order, state=Booking.State.BOOKED).select_related("window__day").first()
    if standing:
        raise AlreadyBooked(
            _("Order %(number)s already has the window %(window)s. Move it instead.")
            % {"number": order.number, "window": standing.window}
        )
    _refuse_quantities(order, quantities)
    window = _free_window(order, window_id)
    booking = Booking(window=window, order=order, booked_by=actor)
    sign(booking, actor)
    booking.save(force_insert=True)
    BookingLine.objects.bulk_create(
        BookingLine(booking=booking, line_id=line_id, quantity=nucs) for line_id, nucs in sorted(quantities.items())
    )
    stamps.bump(order.season_id, "pickups")
    return booking


def _refuse_quantities(order: Order, quantities: Mapping[int, int]) -> None:
    owed = {line.pk: line.outstanding for line in allocation_queries.takers(order.season_id).filter(order=order)}
    if not quantities or any(nucs < 1 for nucs in quantities.values()):
        raise NothingToCollect(_("Nothing is to be collected. Say how many nucs of which line."))
    for line_id, nucs in quantities.items():
        if line_id not in owed:
            raise NothingToCollect(
                _("A line is not promised to order %(number)s. Promise it first.") % {"number": order.number}
            )
        if nucs > owed[line_id]:
            raise NothingToCollect(
                _("Only %(owed)s nucs are still to come on this line. Book that many or fewer.")
                % {"owed": owed[line_id]}
            )


def _free_window(order: Order, window_id: int) -> Window:
    """The window under lock, once it is known to have a place for the order."""
    window = Window.objects.select_for_update(no_key=True, of=("self",)).select_related("day").get(pk=window_id)
    if window.day.season_id != order.season_id:
        raise DayIsClosed(_("That pickup day belongs to another season. Choose one of this season."))
    if window.day.closed_at is not None:
        raise DayIsClosed(_("That pickup day is closed. Choose another."))
    if window.booked >= window.places:
        raise WindowFull(_("The window %(window)s is full. Choose another.") % {"window": window})
    return window


@transaction.atomic
def move_booking(*, booking_id: int, window_id: int, actor: User) -> Booking:
    """Give a booking another window; one that was missed is open again.

    Raises BookingIsOver, AlreadyBooked, DayIsClosed, WindowFull.
    """
    order, booking = _locked(booking_id)
    if booking.state not in (Booking.State.BOOKED, Booking.State.MISSED):
        raise BookingIsOver(_over(booking))
    others = Booking.objects.filter(order=order, state=Booking.State.BOOKED).exclude(pk=booking.pk)
    if others.exists():
        raise AlreadyBooked(_("Order %(number)s has another open booking. Move that one.") % {"number": order.number})
    if window_id == booking.window_id and booking.state == Booking.State.BOOKED:
        return booking
    # Both windows change; they are locked in one order, so that two moves against each other do not wait for ever.
    list(Window.objects.select_for_update(no_key=True).filter(pk__in={window_id, booking.window_id}).order_by("pk"))
    booking.window, booking.state = _free_window(order, window_id), Booking.State.BOOKED
    sign(booking, actor)
    booking.save(update_fields=["window", "state"])
    stamps.bump(order.season_id, "pickups")
    return booking


@transaction.atomic
def cancel_booking(*, booking_id: int, actor: User) -> Booking:
    """Give the place back; the order stays owed. Raises BookingIsOver."""
    return _end(booking_id, Booking.State.CANCELLED, actor)


@transaction.atomic
def miss_booking(*, booking_id: int, actor: User) -> Booking:
    """Write down that nobody came; the place is free again and the order stays owed. Raises BookingIsOver."""
    return _end(booking_id, Booking.State.MISSED, actor)


def _end(booking_id: int, state: str, actor: User) -> Booking:
    order, booking = _locked(booking_id)
    if state not in Booking.PATHS[booking.state]:
        raise BookingIsOver(_over(booking))
    booking.state = state
    sign(booking, actor)
    booking.save(update_fields=["state"])
    stamps.bump(order.season_id, "pickups")
    return booking


def _locked_order(order_id: int) -> Order:
    """The order under lock, after the stamp that is bumped at the end (a hand-over takes them in this order too)."""
    return orders.lock_order(order_id, "pickups")


def _locked(booking_id: int) -> tuple[Order, Booking]:
    """The booking under the lock of its order."""
    order = _locked_order(Booking.objects.values_list("order_id", flat=True).get(pk=booking_id))
    return order, Booking.objects.select_for_update(no_key=True).get(pk=booking_id)


def _over(booking: Booking) -> str:
    return _("This booking is %(state)s already and stays so. Book the order anew if nucs are still to come.") % {
        "state": booking.get_state_display()
    }
