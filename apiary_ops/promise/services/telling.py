from datetime import date, timedelta

from django.db import transaction
from django.utils.translation import gettext as _

from apiary_ops.business import stamps
from apiary_ops.kernel.refusals import RuleBroken
from apiary_ops.orders import services as orders
from apiary_ops.orders.models import Line
from apiary_ops.people.models import User
from apiary_ops.promise.models import Telling


class NothingPromised(RuleBroken):
    """A line about which there is nothing to tell."""


class TellingOutOfShape(RuleBroken):
    """A week that is no week, a day that is no day, or a time that ends before it starts."""


@transaction.atomic
def tell(
    *, line_id: int, firmness: str, starts_on: date, ends_before: date, told_on: date, actor: User, reason: str = ""
) -> Telling:
    """Record what a buyer was told: `starts_on <= day < ends_before`, as a round, a week or a day.

    The latest stands, earlier ones stay. Raises NothingPromised and TellingOutOfShape.
    """
    _check_shape(firmness, starts_on, ends_before)
    line = Line.objects.select_related("order").get(pk=line_id)
    orders.lock_order(line.order_id, "promise")
    line.refresh_from_db()
    if line.state not in Line.OWED_STATES:
        raise NothingPromised(_("This line is %(state)s. Promise it first.") % {"state": line.get_state_display()})
    telling = Telling.objects.create(
        line=line,
        firmness=firmness,
        starts_on=starts_on,
        ends_before=ends_before,
        told_on=told_on,
        told_by=actor,
        reason=reason.strip(),
    )
    stamps.bump(line.order.season_id, "promise")
    return telling


def _check_shape(firmness: str, starts_on: date, ends_before: date) -> None:
    days = (ends_before - starts_on) // timedelta(days=1)
    if days < 1:
        raise TellingOutOfShape(_("What a buyer is told ends after it starts."))
    if firmness == Telling.Firmness.WEEK and (days != 7 or starts_on.weekday()):
        raise TellingOutOfShape(_("A week runs from a Monday to the Monday after. Choose its Monday."))
    if firmness == Telling.Firmness.DAY and days != 1:
        raise TellingOutOfShape(_("A day is one day. Choose the day of the pickup."))
