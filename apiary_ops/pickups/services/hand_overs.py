from collections.abc import Sequence
from datetime import date, datetime
from uuid import UUID

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from apiary_ops.allocation import queries as allocation_queries
from apiary_ops.allocation import services as allocation
from apiary_ops.billing import services as billing
from apiary_ops.billing.models import Deposit, Invoice
from apiary_ops.business import stamps
from apiary_ops.core.days import spoken_day
from apiary_ops.core.history import sign
from apiary_ops.kernel.money import Money
from apiary_ops.kernel.ref import Ref
from apiary_ops.kernel.refusals import RuleBroken
from apiary_ops.nucs import services as nuc_services
from apiary_ops.nucs.models import Nuc
from apiary_ops.orders import services as order_services
from apiary_ops.orders.models import Line, Order
from apiary_ops.people.models import User
from apiary_ops.pickups.models import Booking, HandedNuc, HandOver

# The areas a hand-over touches. Locked first, as the lock order asks: two hand-overs wait here and nowhere else.
AREAS = ("nucs", "orders", "pickups")


class NothingToHandOver(RuleBroken):
    """No nuc was chosen."""


class NobodyTakesThem(RuleBroken):
    """Nobody's name stands beside the nucs."""


class AnotherOrder(RuleBroken):
    """A line or a booking of another order, or a nuc ticked on two lines."""


class NucAlreadyHandedOver(RuleBroken):
    """A nuc that has left with somebody."""


class PaidTooMuch(RuleBroken):
    """More money than the nucs that leave still ask."""


class KeyUsedElsewhere(RuleBroken):
    """A form that was sent before for another order."""


@transaction.atomic
def hand_over(
    *,
    once_key: UUID,
    order_id: int,
    booking_id: int | None,
    nucs: Sequence[tuple[int, int]],
    taken_by_name: str,
    payment_cents: int,
    method: str,
    at: datetime,
    actor: User,
) -> HandOver:
    """Hand nucs over to a buyer, all or nothing: they leave, the deposit is applied, the invoice numbered, money taken.

    `nucs` are pairs (nuc, order line); those not bound yet are bound now. `payment_cents` may be less than the invoice
    asks (the rest stays owed), not more; `method` is how it was paid. Sent again with the same `once_key` it returns
    the hand-over already made. Raises what stands above, and what the parts refuse: NucNotFit, WrongKind,
    NucAlreadyGiven, NotPromised, MoreThanOwed (allocation); NucNotReady, NucOnHold (nucs); NoPeriod, PeriodLocked
    (books).
    """
    order = order_services.lock_order(order_id, *AREAS)
    done = HandOver.objects.filter(once_key=once_key).first()
    if done is not None:
        return _same(done, order_id)
    booking = _locked_booking(order, booking_id)
    _refuse(order, nucs, taken_by_name)
    by_line = _by_line(nucs)
    _bind(order, by_line, at, actor)
    on = timezone.localtime(at).date()
    source = str(Ref("hand-over", str(once_key)))
    rows = list(Nuc.objects.filter(pk__in=[nuc_id for nuc_id, _line in nucs]).order_by("pk"))
    nuc_services.hand_over_nucs(nuc_ids=[nuc.pk for nuc in rows], on=on, source=source, actor=actor)
    invoice = _invoice(order, by_line, source, on, payment_cents, method, actor)
    made = HandOver.objects.create(
        once_key=once_key,
        season_id=order.season_id,
        order=order,
        booking=booking,
        on=on,
        at=at,
        taken_by_name=" ".join(taken_by_name.split())[:120],
        invoice=invoice,
        given_by=actor,
    )
    line_of = dict(nucs)
    HandedNuc.objects.bulk_create(
        HandedNuc(hand_over=made, nuc=nuc, line_id=line_of[nuc.pk], queen_cost_cents=nuc.queen_cost_cents)
        for nuc in rows
    )
    _settle(order, by_line, booking, actor)
    stamps.bump(order.season_id, "pickups")
    return made


def _same(done: HandOver, order_id: int) -> HandOver:
    if done.order_id != order_id:
        raise KeyUsedElsewhere(_("This form was already sent for another order. Open the hand-over again."))
    return done


def _locked_booking(order: Order, booking_id: int | None) -> Booking | None:
    """The booking of a locked order under lock, after its deposit."""
    list(Deposit.objects.select_for_update(no_key=True).filter(order=order))
    if booking_id is None:
        return None
    booking = Booking.objects.select_for_update(no_key=True).get(pk=booking_id)
    if booking.order_id != order.pk or booking.state != Booking.State.BOOKED:
        raise AnotherOrder(_("This booking is not open for this order any more. Open the hand-over again."))
    return booking


def _refuse(order: Order, nucs: Sequence[tuple[int, int]], taken_by_name: str) -> None:
    if not nucs:
        raise NothingToHandOver(_("No nuc is ticked. Tick the nucs that leave."))
    if not taken_by_name.strip():
        raise NobodyTakesThem(_("Write down who takes the nucs."))
    nuc_ids = {nuc_id for nuc_id, _line in nucs}
    if len(nuc_ids) != len(nucs):
        raise AnotherOrder(_("A nuc is ticked on two lines. Tick it on one of them."))
    own = set(Line.objects.filter(order=order).values_list("pk", flat=True))
    if any(line_id not in own for _nuc, line_id in nucs):
        raise AnotherOrder(_("A nuc is put on a line of another order. Open the hand-over again."))
    gone = HandedNuc.objects.filter(nuc_id__in=nuc_ids).select_related("nuc", "hand_over__order").first()
    if gone is not None:
        raise NucAlreadyHandedOver(
            _("Nuc %(number)s was already handed over on %(day)s, to order %(order)s. Choose another.")
            % {
                "number": gone.nuc.number,
                "day": spoken_day(gone.hand_over.on),
                "order": gone.hand_over.order.number,
            }
        )


def _by_line(nucs: Sequence[tuple[int, int]]) -> dict[int, list[int]]:
    lines: dict[int, list[int]] = {}
    for nuc_id, line_id in sorted(nucs, key=lambda pair: (pair[1], pair[0])):
        lines.setdefault(line_id, []).append(nuc_id)
    return lines


def _bind(order: Order, by_line: dict[int, list[int]], at: datetime, actor: User) -> None:
    """Bind what leaves to its lines; bound nucs that stay behind and are more than the rest owed are let go first."""
    leaving = {nuc_id for nuc_ids in by_line.values() for nuc_id in nuc_ids}
    spare = {
        line.pk: line.outstanding - len(by_line[line.pk])
        for line in allocation_queries.takers(order.season_id).filter(pk__in=by_line)
    }
    for binding in allocation_queries.bindings_of([order.pk]):
        if binding.nuc_id in leaving or binding.line_id not in spare:
            continue
        spare[binding.line_id] -= 1
        if spare[binding.line_id] < 0:
            reason = _("another nuc was taken at the gate")
            allocation.release_binding(binding_id=binding.pk, reason=reason, now=at, actor=actor)
    for line_id, nuc_ids in by_line.items():
        allocation.bind_nucs(line_id=line_id, nuc_ids=nuc_ids, now=at, actor=actor)


def _invoice(
    order: Order,
    by_line: dict[int, list[int]],
    source: str,
    on: date,
    payment_cents: int,
    method: str,
    actor: User,
) -> Invoice:
    invoice = billing.issue_invoice(
        order_id=order.pk,
        source=source,
        supplied_on=on,
        issued_on=on,
        quantities={line_id: len(nuc_ids) for line_id, nuc_ids in by_line.items()},
        actor=actor,
    )
    if payment_cents > invoice.owed_cents:
        asked = Money(invoice.owed_cents, invoice.currency)
        raise PaidTooMuch(_("These nucs ask only %(asked)s now. Enter that or less.") % {"asked": asked})
    if payment_cents:
        billing.take_balance(invoice_id=invoice.pk, cents=payment_cents, received_on=on, method=method, actor=actor)
        invoice.refresh_from_db(fields=["paid_cents"])
    return invoice


def _settle(order: Order, by_line: dict[int, list[int]], booking: Booking | None, actor: User) -> None:
    """Move the lines on by what the guard counted as collected, and the booking with them.

    A booking for another day gives its place back when nothing is left to collect.
    """
    for line in Line.objects.filter(pk__in=by_line).order_by("pk"):
        state = Line.State.PART_COLLECTED if line.outstanding else Line.State.COLLECTED
        if line.state != state:
            order_services.move_line(line_id=line.pk, to_state=state, actor=actor)
    if booking is not None:
        booking.state = Booking.State.COLLECTED
        sign(booking, actor)
        booking.save(update_fields=["state"])
    elif not allocation_queries.takers(order.season_id).filter(order=order).exists():
        for other in Booking.objects.select_for_update(no_key=True).filter(order=order, state=Booking.State.BOOKED):
            other.state = Booking.State.CANCELLED
            sign(other, actor)
            other.save(update_fields=["state"])
