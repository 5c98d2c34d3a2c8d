"""Pictures of yards as numbers to draw: strength over time, the mix of grades, the change between two rounds."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from apiary_ops.kernel.pictures import NARROW, Scale, Tick, every_nth, points, round_levels

LABEL_WIDTH = 104  # for a yard's name at the left
ROW_HEIGHT = 26
MOST_ROWS = 30  # of yards in one picture; the table has all
MOST_DAYS = 5  # named on the axis
LEAST_NAMED = 18  # the narrowest segment that holds its number


@dataclass(frozen=True, slots=True)
class RoundPoint:
    """A yard's colonies on one day, frames on the footing: their mean, and the middles of both halves' edges."""

    on: date
    basis: str  # look, sample or tally
    colonies: int
    mean: Decimal
    low: Decimal
    high: Decimal


@dataclass(frozen=True, slots=True)
class PointMark:
    x: float
    mean_y: float
    low_y: float
    high_y: float


@dataclass(frozen=True, slots=True)
class StrengthPicture:
    """A line of means with a bar of the middle half of the colonies at each day."""

    width: int
    height: int
    left: int
    right: int
    bottom: int
    levels: tuple[Tick, ...]
    days: tuple[Tick, ...]
    marks: tuple[PointMark, ...]
    line: str


@dataclass(frozen=True, slots=True)
class Segment:
    place: int
    x: float
    width: float
    colonies: int
    is_named: bool

    @property
    def middle(self) -> float:
        return round(self.x + self.width / 2, 1)


@dataclass(frozen=True, slots=True)
class MixRow:
    label: str
    y: int
    middle_y: int
    colonies: int
    segments: tuple[Segment, ...]


@dataclass(frozen=True, slots=True)
class MixPicture:
    """A bar a yard, cut by the grades of its colonies, strongest first."""

    width: int
    height: int
    bar_height: int
    rows: tuple[MixRow, ...]


@dataclass(frozen=True, slots=True)
class ChangeRow:
    label: str
    y: int
    then_x: float
    now_x: float
    fell: bool


@dataclass(frozen=True, slots=True)
class ChangePicture:
    """A line a yard from its mean then to its mean now."""

    width: int
    height: int
    bottom: int
    levels: tuple[Tick, ...]
    rows: tuple[ChangeRow, ...]


def draw_strength(rounds: Sequence[RoundPoint]) -> StrengthPicture | None:
    """Strength of one yard over time, in order of the days; None with nothing to draw."""
    if not rounds:
        return None
    height, left, right, top, bottom = 220, 34, NARROW - 14, 14, 188
    levels = round_levels(float(max(point.high for point in rounds)))
    x = Scale(rounds[0].on.toordinal(), rounds[-1].on.toordinal(), left + 16, right - 16)
    y = Scale(0, levels[-1], bottom, top)
    marks = tuple(
        PointMark(x.at(point.on.toordinal()), y.at(float(point.mean)), y.at(float(point.low)), y.at(float(point.high)))
        for point in rounds
    )
    step = every_nth(len(rounds), MOST_DAYS)
    return StrengthPicture(
        width=NARROW,
        height=height,
        left=left,
        right=right,
        bottom=bottom,
        levels=tuple(Tick(y.at(level), level) for level in levels),
        days=tuple(Tick(mark.x, point.on) for mark, point in list(zip(marks, rounds, strict=True))[::step]),
        marks=marks,
        line=points([(mark.x, mark.mean_y) for mark in marks]),
    )


def draw_mix(yards: Sequence[tuple[str, Sequence[int]]]) -> MixPicture | None:
    """The mix of grades by yard; each is a name and its colonies of each grade, the yard without any left out."""
    drawn = [(label, counts) for label, counts in yards if sum(counts)][:MOST_ROWS]
    if not drawn:
        return None
    rows = []
    for place, (label, counts) in enumerate(drawn):
        top = place * ROW_HEIGHT
        rows.append(MixRow(label, top, top + ROW_HEIGHT // 2 - 2, sum(counts), _segments(counts)))
    return MixPicture(NARROW, len(rows) * ROW_HEIGHT, ROW_HEIGHT - 4, tuple(rows))


def draw_change(yards: Sequence[tuple[str, Decimal, Decimal]]) -> ChangePicture | None:
    """The change of yards between two rounds; each is a name, its mean then and its mean now."""
    drawn = list(yards)[:MOST_ROWS]
    if not drawn:
        return None
    levels = round_levels(float(max(max(then, now) for _, then, now in drawn)))
    x = Scale(0, levels[-1], LABEL_WIDTH + 8, NARROW - 16)
    bottom = len(drawn) * ROW_HEIGHT
    rows = tuple(
        ChangeRow(label, place * ROW_HEIGHT + ROW_HEIGHT // 2, x.at(float(then)), x.at(float(now)), now < then)
        for place, (label, then, now) in enumerate(drawn)
    )
    return ChangePicture(NARROW, bottom + 28, bottom, tuple(Tick(x.at(level), level) for level in levels), rows)


def _segments(counts: Sequence[int]) -> tuple[Segment, ...]:
    scale = Scale(0, sum(counts), LABEL_WIDTH, NARROW - 34)
    segments, done = [], 0
    for place, colonies in enumerate(counts):
        if colonies:
            start, end = scale.at(done), scale.at(done + colonies)
            width = round(end - start, 1)
            segments.append(Segment(place, start, width, colonies, width >= LEAST_NAMED))
        done += colonies
    return tuple(segments)
