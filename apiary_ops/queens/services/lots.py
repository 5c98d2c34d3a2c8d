from datetime import date, timedelta
from uuid import UUID

from django.db import transaction
from django.urls import reverse
from django.utils.translation import gettext as _

from apiary_ops.business import stamps
from apiary_ops.business.models import Season
from apiary_ops.core import once
from apiary_ops.costs.services import BillPart, record_bill
from apiary_ops.kernel.ref import Ref
from apiary_ops.kernel.refusals import RuleBroken
from apiary_ops.people.models import User
from apiary_ops.queens.compute import GOOD_BANK_DAYS, LandedCost, landed_cost
from apiary_ops.queens.models import Lot, QueenOrder

from .orders import OrderWasCancelled, locked

__all__ = ["MoreDeadThanArrived", "MoreThanOrdered", "NothingToPay", "OrderWasCancelled", "receive_lot"]


class MoreThanOrdered(RuleBroken):
    pass


class MoreDeadThanArrived(RuleBroken):
    pass


class ReceivedTooEarly(RuleBroken):
    pass


class NothingToPay(RuleBroken):
    pass


@transaction.atomic
def receive_lot(
    *,
    order_id: int,
    received_on: date,
    received: int,
    dead_on_arrival: int,
    freight_cents: int,
    papers_cents: int,
    reference: str,
    due_on: date,
    actor: User,
    once_key: UUID | None = None,
) -> Lot:
    """Queens arrived with their bill, whose number is `reference`; they stand in the books at landed cost.

    Deaths beyond the ordinary share go to queen-losses. Raises OrderWasCancelled, MoreThanOrdered,
    MoreDeadThanArrived, ReceivedTooEarly, NothingToPay, AlreadyDone, and what recording the bill refuses.
    """
    claimed = once.claim(once_key, "queens received")
    order = locked(order_id)
    _refuse_impossible(order, received_on, received, dead_on_arrival)
    cost = landed_cost(
        received=received,
        dead_on_arrival=dead_on_arrival,
        unit_price_cents=order.unit_price_cents,
        freight_cents=freight_cents,
        papers_cents=papers_cents,
    )
    if not cost.total_cents:
        raise NothingToPay(_("This lot costs nothing. Enter the price on the order, or freight and papers here."))
    code = _next_code(order.season)
    bill = record_bill(
        season_id=order.season_id,
        supplier_id=order.supplier_id,
        reference=reference,
        billed_on=received_on,
        due_on=due_on,
        parts=_bill_parts(code, cost),
        actor=actor,
    )
    lot = Lot.objects.create(
        order=order,
        season=order.season,
        code=code,
        received_on=received_on,
        hive_by=received_on + timedelta(days=GOOD_BANK_DAYS),
        received=received,
        dead_on_arrival=dead_on_arrival,
        unit_price_cents=order.unit_price_cents,
        freight_cents=freight_cents,
        papers_cents=papers_cents,
        landed_cents=cost.landed_cents,
        bill=bill,
    )
    stamps.bump(order.season_id, "queens")
    once.settle(claimed, reverse("queens:lot", args=[code]))
    return lot


def _refuse_impossible(order: QueenOrder, received_on: date, received: int, dead_on_arrival: int) -> None:
    to_come = order.queens - order.received_queens
    if not 1 <= received <= to_come:
        message = _("%(count)s queens of this order are still to come. Enter 1 to that many, or raise the order first.")
        raise MoreThanOrdered(message % {"count": to_come})
    if not 0 <= dead_on_arrival <= received:
        raise MoreDeadThanArrived(_("More queens are dead than arrived. Count again."))
    if received_on < order.ordered_on:
        raise ReceivedTooEarly(_("Queens cannot arrive before they were ordered. Choose a later day."))


def _next_code(season: Season) -> str:
    # Safe under the season's stamp, which every receipt locks first; lots are never deleted.
    return f"{season.year}-Q{Lot.objects.filter(season=season).count() + 1:02d}"


def _bill_parts(code: str, cost: LandedCost) -> list[BillPart]:
    subject = str(Ref("lot", code))
    parts = [
        BillPart(
            account="queens-on-hand",
            cents=cost.landed_cents,
            description=_("%(count)s live queens, lot %(code)s, with freight and papers")
            % {"count": cost.live, "code": code},
            subject=subject,
        ),
        BillPart(
            account="queen-losses",
            cents=cost.loss_cents,
            description=_("queens dead on arrival beyond the ordinary, lot %(code)s") % {"code": code},
            subject=subject,
        ),
    ]
    return [part for part in parts if part.cents]
