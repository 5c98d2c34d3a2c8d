"""Mites: how many on a hundred bees, and from how many on a colony wants treating."""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from apiary_ops.kernel.rounding import half_up

# Alcohol wash, Ontario's table as a beekeeper quotes it (2016): 2 on a hundred bees in May, 3 in August. The months
# between and around take the figure before them; earlier in the year May's, the stricter one: an assumption.
MAY_PERCENT, AUGUST_PERCENT = Decimal(2), Decimal(3)
AUGUST = 8
SOURCE = "Ontario's table for an alcohol wash: 2 % in May, 3 % in August (read at second hand)"


@dataclass(frozen=True, slots=True)
class MiteLoad:
    """Mites on a hundred bees, to a tenth, beside the limit of the season."""

    percent: Decimal
    limit: Decimal
    is_at_limit: bool

    @property
    def words(self) -> str:
        meets = "treat from" if self.is_at_limit else "under"
        return f"{self.percent} %, {meets} {self.limit} %"

    @property
    def tone(self) -> str:
        return "broken" if self.is_at_limit else "good"


def mite_load(*, mites: int, bees: int, on: date) -> MiteLoad:
    """The load of one wash of `bees` bees; it is at the limit when it reaches it exactly."""
    limit = AUGUST_PERCENT if on.month >= AUGUST else MAY_PERCENT
    return MiteLoad(half_up(Decimal(100 * mites) / bees, 1), limit, 100 * mites >= limit * bees)
