from datetime import date

from django.db import IntegrityError, transaction
from django.utils.translation import gettext as _

from apiary_ops.allocation import queries
from apiary_ops.allocation.compute import Pin as PinRow
from apiary_ops.allocation.compute import reasons
from apiary_ops.allocation.models import Pin
from apiary_ops.business import stamps
from apiary_ops.core.history import sign
from apiary_ops.kernel.refusals import RuleBroken
from apiary_ops.kernel.weeks import Week
from apiary_ops.orders import services as orders
from apiary_ops.orders.models import Line, Order
from apiary_ops.people.models import User


class CannotPin(RuleBroken):
    """A place the line could never have, whatever the supply."""


class AlreadyPinned(RuleBroken):
    """A line has one pin."""


@transaction.atomic
def pin_line(*, line_id: int, week: date, kind_id: int, reason: str, today: date, actor: User) -> Pin:
    """Fix the week (its Monday) and kind of a line by hand, with the reason.

    Whether the nucs are there shows when a plan is worked out. Raises CannotPin when the line is owed nothing, does
    not take the kind or cannot go in that week; AlreadyPinned.
    """
    order = _locked_order(line_id)
    line = queries.takers(order.season_id).filter(pk=line_id).first()
    if line is None:
        raise CannotPin(_("No nucs are owed on this line, so it needs no place. Pin another."))
    _refuse_impossible(line, Week.of(week), kind_id, today)
    if not reason.strip():
        raise CannotPin(_("Say why the line is pinned, so that others leave it there."))
    pin = Pin(line=line, week=Week.of(week).monday, kind_id=kind_id, reason=reason.strip(), pinned_by=actor)
    try:
        with transaction.atomic():
            sign(pin, actor)
            pin.save(force_insert=True)
    except IntegrityError:
        raise AlreadyPinned(_("This line is already pinned. Remove its pin first.")) from None
    stamps.bump(order.season_id, "allocation")
    return pin


def _refuse_impossible(line: Line, week: Week, kind_id: int, today: date) -> None:
    """The same words as a plan would say."""
    row = queries.demand_of(line, today)
    wanted = PinRow(row.key, week.monday, queries.kind_names()[kind_id])
    if wanted.kind not in row.kinds:
        raise CannotPin(reasons.pin_of_other_kind(row, wanted))
    if not row.earliest_week <= wanted.week <= row.latest_week:
        raise CannotPin(reasons.pin_outside_weeks(row))


@transaction.atomic
def unpin_line(*, line_id: int, actor: User) -> None:
    """Let the plan decide again about a line; a line without a pin stays as it is."""
    order = _locked_order(line_id)
    pin = Pin.objects.filter(line_id=line_id).first()
    if pin is not None:
        sign(pin, actor)
        pin.delete()
        stamps.bump(order.season_id, "allocation")


def _locked_order(line_id: int) -> Order:
    """The order of a line under lock, after the stamp that is bumped at the end."""
    return orders.lock_order(Line.objects.values_list("order_id", flat=True).get(pk=line_id), "allocation")
