"""Make-up: the frames that nucs take from their donors, and what a batch may be expected to become."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from math import floor

# A batch not ready on its day is expected at the next round of checks; a week apart, common practice.
LATE_DAYS = 7


@dataclass(frozen=True, slots=True)
class Frames:
    """Frames of bees and frames of (mostly sealed) brood, of one physical size."""

    bees: Decimal
    brood: Decimal

    def __add__(self, other: "Frames") -> "Frames":
        return Frames(self.bees + other.bees, self.brood + other.brood)

    def __mul__(self, times: int) -> "Frames":
        return Frames(self.bees * times, self.brood * times)

    def __bool__(self) -> bool:
        return bool(self.bees or self.brood)


NONE = Frames(Decimal(0), Decimal(0))


def needed(recipe: Frames, nucs: int) -> Frames:
    """What `nucs` of a recipe take on split day."""
    return recipe * nucs


def shortage(given: Iterable[Frames], taken: Frames) -> Frames:
    """The frames that are lacking where donors gave `given` and nucs take `taken`; never below 0."""
    total = sum(given, NONE)
    return Frames(max(taken.bees - total.bees, Decimal(0)), max(taken.brood - total.brood, Decimal(0)))


def makes(given: Iterable[Frames], recipe: Frames) -> int:
    """How many nucs of a recipe the frames make: the scarcer of bees and brood decides."""
    total = sum(given, NONE)
    return min(floor(total.bees / recipe.bees), floor(total.brood / recipe.brood))


def expected_count(live: int, laying_rate: Decimal) -> int:
    """How many of `live` nucs will have a laying queen at sale, rounded down."""
    return floor(live * laying_rate)


def expected_ready_on(started_on: date, weeks_to_sale: int, today: date) -> date:
    """The day nucs started on a day should meet their standard; once that has passed, the next round of checks."""
    planned = started_on + timedelta(weeks=weeks_to_sale)
    return planned if planned >= today else today + timedelta(days=LATE_DAYS)
