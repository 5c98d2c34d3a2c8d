"""Days of what happened, and the stamps of the seasons it counts in."""

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from datetime import date

from django.utils.translation import gettext as _

from apiary_ops.business import queries as business
from apiary_ops.business import stamps
from apiary_ops.business.models import Season
from apiary_ops.core.days import spoken_day
from apiary_ops.kernel.refusals import RuleBroken

AREA = "yards"
EVERY_OPEN_SEASON = 0

# The seasons to bump when the outermost service ends; None while no service holds bumps back.
_held_back: ContextVar[set[int] | None] = ContextVar("held_back", default=None)


class FutureDay(RuleBroken):
    pass


class OutsideSeason(RuleBroken):
    pass


def refuse_future(day: date, today: date, what: str) -> None:
    """Facts have happened: their day is today or earlier."""
    if day > today:
        raise FutureDay(
            _("%(what)s cannot be recorded before it happens: %(day)s is still to come.")
            % {"what": what, "day": spoken_day(day)}
        )


def season_of(season_id: int, day: date) -> Season:
    """The season, which must have the day in it. Raises OutsideSeason."""
    season = Season.objects.get(pk=season_id)
    if day not in season:
        raise OutsideSeason(
            _("%(day)s is not in the season %(season)s. Choose the season it belongs to first.")
            % {"day": spoken_day(day), "season": season}
        )
    return season


@contextmanager
def bumping_last() -> Iterator[None]:
    """Hold back the bumps of the services called within until the outermost ends, each season once.

    A bump locks the stamp that every writer of the yards needs at its end: a service that went on to lock tasks or
    a yard after it would wait for someone who waits for the stamp.
    """
    if _held_back.get() is not None:
        yield
        return
    seasons: set[int] = set()
    token = _held_back.set(seasons)
    try:
        yield
    finally:
        _held_back.reset(token)
    _bump(seasons)


def bump_open_seasons() -> None:
    """Yards, colonies, holds and rules belong to no season: they count in every open one."""
    bump_season(EVERY_OPEN_SEASON)


def bump_season(season_id: int) -> None:
    """What was done or seen in one season counts in that season alone."""
    seasons = _held_back.get()
    if seasons is None:
        _bump({season_id})
    else:
        seasons.add(season_id)


def _bump(season_ids: set[int]) -> None:
    if EVERY_OPEN_SEASON in season_ids:
        season_ids = season_ids | set(business.seasons().filter(closed_on__isnull=True).values_list("pk", flat=True))
    for pk in sorted(season_ids - {EVERY_OPEN_SEASON}):
        stamps.bump(pk, AREA)
