"""What pickups shows on lower pages: when an order is collected, and with whom a nuc left."""

from django.http import HttpRequest
from django.utils.translation import gettext as _

from apiary_ops.core.panels import Panel
from apiary_ops.nucs.models import Nuc
from apiary_ops.orders.models import Order
from apiary_ops.people.access import may_open

from . import queries


def pickups_of_order(request: HttpRequest, order: Order) -> Panel | None:
    """The bookings and hand-overs of an order; where nucs are owed and nothing is booked, the days to book on."""
    bookings, hand_overs = queries.bookings_of(order), queries.hand_overs_of(order)
    is_open = any(booking.state == booking.State.BOOKED for booking in bookings)
    may_book = not is_open and may_open(request.user.role, "pickups:book") and queries.is_owed(order)
    days = queries.days_to_book(order.season_id, request.today) if may_book else []
    if not (bookings or hand_overs or may_book):
        return None
    context = {"order": order, "bookings": bookings, "hand_overs": hand_overs, "days": days, "may_book": may_book}
    return Panel("pickups", _("Pickup"), "pickups/_order_panel.html", context)


def handed_over_with(request: HttpRequest, nuc: Nuc) -> Panel | None:
    """The hand-over a nuc left with."""
    handed = queries.handed(nuc)
    if handed is None or not may_open(request.user.role, "pickups:handed"):
        return None
    return Panel("handed", _("Handed over"), "pickups/_nuc_panel.html", {"hand_over": handed.hand_over})
