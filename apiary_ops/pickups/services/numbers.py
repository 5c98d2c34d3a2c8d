from collections.abc import Sequence
from datetime import datetime

from django.db import transaction
from django.utils.translation import gettext as _

from apiary_ops.allocation import queries as allocation_queries
from apiary_ops.allocation import services as allocation
from apiary_ops.people.models import User
from apiary_ops.pickups.models import Booking

from .bookings import BookingIsOver


@transaction.atomic
def choose_nucs(*, booking_id: int, nucs: Sequence[tuple[int, int]], at: datetime, actor: User) -> Booking:
    """Say which numbered nucs stand ready for a booking: exactly these pairs (nuc, order line) and no other.

    What stood ready before and is not among them is let go. Raises BookingIsOver and what binding refuses.
    """
    booking = Booking.objects.select_related("order").get(pk=booking_id)
    if booking.state not in (Booking.State.BOOKED, Booking.State.MISSED):
        raise BookingIsOver(
            _("This booking is %(state)s, so it takes no nucs.") % {"state": booking.get_state_display()}
        )
    wanted = set(nucs)
    for binding in allocation_queries.bindings_of([booking.order_id]):
        if (binding.nuc_id, binding.line_id) not in wanted:
            reason = _("not chosen for its booking any more")
            allocation.release_binding(binding_id=binding.pk, reason=reason, now=at, actor=actor)
    for line_id in sorted({line_id for _nuc, line_id in wanted}):
        of_line = [nuc_id for nuc_id, own in nucs if own == line_id]
        allocation.bind_nucs(line_id=line_id, nuc_ids=of_line, now=at, actor=actor)
    return booking
