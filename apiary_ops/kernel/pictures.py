"""Drawing to scale: round numbers for an axis, and where a value stands on it. Pictures are numbers until a page draws.

Units are those of the drawing. `NARROW` is about as wide as a telephone's page, so that a picture of that width keeps
its words legible there.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

NARROW = 360
STEPS = (1, 2, 5)


@dataclass(frozen=True)
class Tick:
    """A mark on an axis: where it is, and what it stands for."""

    at: float
    value: int | date


@dataclass(frozen=True)
class Scale:
    """A straight axis: `low` stands at `start`, `high` at `end`. Equal ends put everything in the middle."""

    low: float
    high: float
    start: float
    end: float

    def at(self, value: float) -> float:
        """Where a value stands, to a tenth."""
        if self.high == self.low:
            return round((self.start + self.end) / 2, 1)
        return round(self.start + (self.end - self.start) * (value - self.low) / (self.high - self.low), 1)


def round_levels(most: float) -> list[int]:
    """Three to six round numbers from 0 to at least `most`. Raises ValueError below 0."""
    if most < 0:
        raise ValueError(f"An axis runs up from 0, not to {most}.")
    power = 1
    while True:
        for step in STEPS:
            if step * power * 5 >= most:
                last = -(-most // (step * power))
                return list(range(0, int(max(last, 1)) * step * power + 1, step * power))
        power *= 10


def every_nth(count: int, most: int) -> int:
    """The step by which at most about `most` of `count` marks are named."""
    return max(1, -(-count // most))


def points(pairs: Sequence[tuple[float, float]]) -> str:
    """Points as a drawing's attribute takes them."""
    return " ".join(f"{x},{y}" for x, y in pairs)
