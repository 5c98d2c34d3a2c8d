"""The picture of capacity against promises: numbers to points of a drawing, nothing else."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from itertools import pairwise

from apiary_ops.kernel.pictures import NARROW, Scale, Tick, every_nth, points, round_levels

WIDE, HEIGHT = 720, 300
LEFT, RIGHT, TOP, BOTTOM = 48, 128, 16, 40
DAYS_ACROSS = 84  # the room that the name of a week takes
LEAST_GAP = 18  # between two labels at the right edge


@dataclass(frozen=True)
class SaleWeek:
    """Nucs that could be sold by the end of a week in three springs, and those promised by then."""

    week: date
    low: int
    middle: int
    high: int
    promised: int


@dataclass(frozen=True)
class EndLabel:
    """Where a line ends at the right edge, and where its name stands so that no two names touch."""

    name: str
    words: str
    value: int
    at: float


@dataclass(frozen=True)
class Picture:
    width: int
    height: int
    left: int
    right: int
    bottom: int
    range_points: str
    middle_points: str
    promised_points: str
    weeks: tuple[Tick, ...]
    levels: tuple[Tick, ...]
    ends: tuple[EndLabel, ...]


def draw(weeks: Sequence[SaleWeek], words: Mapping[str, str], *, is_narrow: bool = False) -> Picture | None:
    """The picture of two or more weeks in order, wide or narrow enough for a telephone; None with nothing to draw.

    `words` name the lines at their ends: early, middle, late and promised.
    """
    if len(weeks) < 2 or not any(row.high or row.promised for row in weeks):
        return None
    width = NARROW if is_narrow else WIDE
    levels = round_levels(max(max(row.high, row.promised) for row in weeks))
    x = Scale(0, len(weeks) - 1, LEFT, width - RIGHT).at
    y = Scale(0, levels[-1], HEIGHT - BOTTOM, TOP).at
    high = [(x(place), y(row.high)) for place, row in enumerate(weeks)]
    low = [(x(place), y(row.low)) for place, row in enumerate(weeks)]
    last = weeks[-1]
    ends = {"early": last.high, "middle": last.middle, "late": last.low, "promised": last.promised}
    every = every_nth(len(weeks), (width - LEFT - RIGHT) // DAYS_ACROSS)
    return Picture(
        width=width,
        height=HEIGHT,
        left=LEFT,
        right=width - RIGHT,
        bottom=HEIGHT - BOTTOM,
        range_points=points([*high, *reversed(low)]),
        middle_points=points([(x(place), y(row.middle)) for place, row in enumerate(weeks)]),
        promised_points=points(_stairs([(x(place), y(row.promised)) for place, row in enumerate(weeks)])),
        weeks=tuple(Tick(x(place), row.week) for place, row in enumerate(weeks) if place % every == 0),
        levels=tuple(Tick(y(level), level) for level in levels),
        ends=tuple(_apart([EndLabel(name, words[name], value, y(value)) for name, value in ends.items()])),
    )


def _stairs(corners: Sequence[tuple[float, float]]) -> list[tuple[float, float]]:
    """Level until the next point, then up: promises stand at once, they do not grow."""
    drawn = [corners[0]]
    for (_, before), (x, y) in pairwise(corners):
        drawn += [(x, before), (x, y)]
    return drawn


def _apart(labels: list[EndLabel]) -> list[EndLabel]:
    """The labels from the top down, each moved down where it would touch the one above, all kept in the drawing."""
    placed: list[EndLabel] = []
    for label in sorted(labels, key=lambda label: label.at):
        least = placed[-1].at + LEAST_GAP if placed else TOP
        placed.append(replace(label, at=max(label.at, least)))
    over = max(0.0, placed[-1].at - (HEIGHT - BOTTOM))
    return [replace(label, at=round(label.at - over, 1)) for label in placed]
