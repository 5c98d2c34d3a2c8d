"""Days of what happened, and the stamps of the seasons it counts in."""

from datetime import date

from django.utils.translation import gettext as _

from apiary_ops.business import queries as business
from apiary_ops.business import stamps
from apiary_ops.core.days import spoken_day
from apiary_ops.kernel.refusals import RuleBroken

AREA = "yards"


class FutureDay(RuleBroken):
    pass


def refuse_future(day: date, today: date, what: str) -> None:
    """Facts have happened: their day is today or earlier."""
    if day > today:
        raise FutureDay(
            _("%(what)s cannot be recorded before it happens: %(day)s is still to come.")
            % {"what": what, "day": spoken_day(day)}
        )


def bump_open_seasons() -> None:
    """Yards, colonies, holds and rules belong to no season: they count in every open one."""
    for pk in business.seasons().filter(closed_on__isnull=True).order_by("pk").values_list("pk", flat=True):
        stamps.bump(pk, AREA)


def bump_season(season_id: int) -> None:
    """What was done or seen in one season counts in that season alone."""
    stamps.bump(season_id, AREA)
