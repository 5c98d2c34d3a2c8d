"""What became of colonies between two rounds of looks, no more said than the counts can tell."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from math import hypot
from statistics import median

from apiary_ops.kernel.rounding import half_up

FELL, FELL_BEHIND, HELD, GAINED = "fell", "fell behind", "held", "gained"


@dataclass(frozen=True, slots=True)
class Change:
    """One colony's strength in two rounds, frames on the footing. `margin` is what the two counts may err by."""

    then: Decimal
    now: Decimal
    margin: Decimal

    @property
    def by(self) -> Decimal:
        return self.now - self.then


def change_between(then: Decimal, then_spread: Decimal, now: Decimal, now_spread: Decimal) -> Change:
    """The change of a colony; errors of two counts made apart add up as squares do."""
    return Change(then, now, half_up(Decimal(str(hypot(float(then_spread), float(now_spread)))), 1))


def words_of_change(changes: Sequence[Change]) -> list[str]:
    """For each colony what can be said: it fell, fell behind the middle of all, gained, or held.

    Only what goes beyond the margin of its own two counts is said.
    """
    if not changes:
        return []
    middle = Decimal(median(change.by for change in changes))
    return [_word(change, middle) for change in changes]


def _word(change: Change, middle: Decimal) -> str:
    if change.by < -change.margin:
        return FELL
    if change.by < middle - change.margin:
        return FELL_BEHIND
    return GAINED if change.by > change.margin else HELD
