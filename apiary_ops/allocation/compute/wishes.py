"""When a line can go and whom it goes before, from what its buyer was told."""

from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from typing import Any

from apiary_ops.kernel.weeks import Week

TIERS = ("wholesale", "returning", "new")
NO_DEPOSIT_YET = datetime.max.replace(tzinfo=UTC)


@dataclass(frozen=True, slots=True)
class Told:
    """What a buyer was last told: `is_firm` is a week or a day, otherwise a round; half-open."""

    is_firm: bool
    starts_on: date
    ends_before: date


@dataclass(frozen=True, slots=True)
class Wish:
    """The weeks a line can take, both included, and the week it was told; all Mondays."""

    earliest_week: date
    latest_week: date
    told_week: date | None


def wish(*, round_days: tuple[date, date], told: Told | None, today: date, season_ends_before: date) -> Wish:
    """When a line can go: the weeks of its round (half-open days), or of the round last told, and the week told.

    No week before today's. A promise whose weeks have all passed is kept as soon as possible: it can go in any week
    that is left of the season.
    """
    starts_on, ends_before = (told.starts_on, told.ends_before) if told and not told.is_firm else round_days
    told_week = _monday(told.starts_on) if told and told.is_firm else None
    first, last = _monday(starts_on), _monday(ends_before - timedelta(days=1))
    if told_week:
        first, last = min(first, told_week), max(last, told_week)
    this_week = _monday(today)
    if last < this_week:
        last = max(this_week, _monday(season_ends_before - timedelta(days=1)))
    return Wish(max(first, this_week), last, told_week)


def priority(*, tier: str, deposit_complete_at: datetime | None, order_key: int, line_key: int) -> tuple[Any, ...]:
    """Sorts lines: by tier, then by the instant the deposit was complete, then as they were placed."""
    return (TIERS.index(tier), deposit_complete_at or NO_DEPOSIT_YET, order_key, line_key)


def _monday(day: date) -> date:
    return Week.of(day).monday
