"""What the invented season is made of: its size, its dice, its calendar and its readable data."""

import json
import random
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta
from functools import cached_property
from typing import Any
from zoneinfo import ZoneInfo

from django.conf import settings

from apiary_ops.business.models import Season
from apiary_ops.kernel.weeks import Week
from apiary_ops.people.models import User


@dataclass(frozen=True, slots=True)
class Size:
    """How many of each; a yard holds about twenty colonies, a split day makes about `nucs_a_day` nucs."""

    colonies: int
    nucs: int
    orders: int
    nucs_a_day: int

    @property
    def yards(self) -> int:
        return -(-self.colonies // 20)


SIZES = {
    "small": Size(colonies=160, nucs=126, orders=46, nucs_a_day=14),
    "large": Size(colonies=2_000, nucs=6_000, orders=4_000, nucs_a_day=30),
}


@dataclass
class Scenario:
    """One run of the demo: what every step needs, and what the steps leave for each other."""

    size: Size
    today: date
    seed: int
    say: Callable[[str], None]
    season: Season = field(init=False)  # opened by the first step
    people: dict[str, User] = field(default_factory=dict)
    found: dict[str, Any] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.dice = random.Random(self.seed)

    @cached_property
    def data(self) -> dict[str, Any]:
        file = settings.BASE_DIR / "fixtures" / "demo" / "season.json"
        return dict(json.loads(file.read_text(encoding="utf-8")))

    @property
    def year(self) -> int:
        return self.today.year

    def day(self, month: int, day: int) -> date:
        """A day of the season: September to December fall in the year before its spring."""
        return date(self.year - 1 if month >= 9 else self.year, month, day)

    def monday(self, month: int, day: int) -> date:
        """The first Monday from that day on."""
        return Week.of(self.day(month, day) + timedelta(days=6)).monday

    def at(self, day: date, hour: int, minute: int = 0) -> datetime:
        """An instant in the business's time zone."""
        return datetime.combine(day, time(hour, minute), ZoneInfo(self.data["business"]["time_zone"]))

    def past(self, day: date) -> bool:
        """Whether a day of the plan has come by the demo's today."""
        return day <= self.today

    def steps(self, what: str, many: list[Any]) -> Any:
        """Go through `many`, saying how far it is every few hundred."""
        for count, item in enumerate(many, start=1):
            yield item
            if count % 500 == 0:
                self.say(f"  {what}: {count:,} of {len(many):,}")


def spread(total: int, days: list[date]) -> list[tuple[date, int]]:
    """`total` over `days` as evenly as whole numbers go, the earlier days first served."""
    each, rest = divmod(total, len(days))
    return [(day, each + (position < rest)) for position, day in enumerate(days) if each + (position < rest)]


def days_between(first: date, last: date, count: int) -> list[date]:
    """`count` working days (no Sundays) from first to last, evenly apart; the same day may come more than once."""
    span = (last - first).days
    days = [first + timedelta(days=round(span * step / max(1, count - 1))) for step in range(count)]
    return [day - timedelta(days=1) if day.weekday() == 6 else day for day in days]
