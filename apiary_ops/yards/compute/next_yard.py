"""Which yard next: what waits at each, weighed and put in order with its reasons.

The weights are assumptions, shown on the page: a swarm costs most, then strips that breed resistance, then hunger.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from statistics import median

from apiary_ops.kernel.rounding import half_up

from .attention import LOOK_AGAIN_DAYS

DUE_DAYS = 3  # what falls due within so many days is done on the same trip
LONGEST_UNSEEN_DAYS = 28  # a look longer ago, or none this season, counts as this long ago
MINUTES_A_HIVE = Decimal(2)  # common practice: 1.5 to 3
FEWEST_LOOKS = 5  # a visit with fewer says little of the pace

CELLS_LATE, CELLS_DUE, STRIPS_LATE, STRIPS_DUE = "cells_late", "cells_due", "strips_late", "strips_due"
PATTIES_LATE, PATTIES_DUE, OTHERS_LATE, OTHERS_DUE = "patties_late", "patties_due", "others_late", "others_due"
UNSEEN = "unseen"  # days beyond those after which a yard wants a look


@dataclass(frozen=True, slots=True)
class Weight:
    """Points for one of a kind; `is_once` counts it once for the yard, since one trip does all of it."""

    points: int
    is_once: bool = False


WEIGHTS: Mapping[str, Weight] = {
    CELLS_LATE: Weight(5),
    CELLS_DUE: Weight(3),
    STRIPS_LATE: Weight(10, is_once=True),
    STRIPS_DUE: Weight(5, is_once=True),
    PATTIES_LATE: Weight(2),
    PATTIES_DUE: Weight(1),
    OTHERS_LATE: Weight(2),
    OTHERS_DUE: Weight(1),
    UNSEEN: Weight(2),
}


@dataclass(frozen=True, slots=True)
class YardNeeds:
    """What waits at a yard today. `counts` are of the kinds in WEIGHTS, without the days unseen."""

    code: str
    counts: Mapping[str, int] = field(default_factory=dict)
    days_since_look: int | None = None
    is_held: bool = False
    is_shut: bool = False  # nobody may drive there today
    km: int = 0


@dataclass(frozen=True, slots=True)
class Need:
    """One reason to go: how many of a kind, and the points that gives."""

    kind: str
    count: int
    points: int


@dataclass(frozen=True, slots=True)
class RankedYard:
    """A yard with its place, its points and the reasons, the weightiest first."""

    code: str
    rank: int
    points: int
    needs: tuple[Need, ...]


def rank_yards(yards: Iterable[YardNeeds], weights: Mapping[str, Weight] = WEIGHTS) -> list[RankedYard]:
    """Yards in the order to visit them: most points first, the nearer of two equals.

    A yard on hold comes after those that are not, so that nothing is carried out of it on the way; one that is shut
    today comes last.
    """
    weighed = [(yard, _needs(yard, weights)) for yard in yards]
    weighed.sort(key=lambda pair: (pair[0].is_shut, pair[0].is_held, -_points(pair[1]), pair[0].km, pair[0].code))
    return [
        RankedYard(yard.code, rank, _points(needs), tuple(needs)) for rank, (yard, needs) in enumerate(weighed, start=1)
    ]


def due_kind(rule: str, due_on: date, today: date) -> str:
    """The kind of need an open task of a rule is today; empty while it is not yet due."""
    if (due_on - today).days > DUE_DAYS:
        return ""
    is_late = due_on < today
    if rule == "cells":
        return CELLS_LATE if is_late else CELLS_DUE
    if rule == "strips":
        return STRIPS_LATE if is_late else STRIPS_DUE
    if rule == "patty":
        return PATTIES_LATE if is_late else PATTIES_DUE
    return OTHERS_LATE if is_late else OTHERS_DUE


def minutes_a_hive(visits: Sequence[tuple[int, int]]) -> tuple[Decimal, int]:
    """Minutes at the yard for each colony looked at, to a tenth, and the number of visits it was taken from.

    `visits` are (minutes, looks). The median of those long enough; common practice, and 0 visits, without any.
    """
    paces = [Decimal(minutes) / looks for minutes, looks in visits if minutes and looks >= FEWEST_LOOKS]
    return (half_up(Decimal(median(paces)), 1), len(paces)) if paces else (MINUTES_A_HIVE, 0)


def _needs(yard: YardNeeds, weights: Mapping[str, Weight]) -> list[Need]:
    since = LONGEST_UNSEEN_DAYS if yard.days_since_look is None else min(yard.days_since_look, LONGEST_UNSEEN_DAYS)
    counts = {**yard.counts, UNSEEN: max(0, since - LOOK_AGAIN_DAYS)}
    needs = [
        Need(kind, counts[kind], weight.points * (1 if weight.is_once else counts[kind]))
        for kind, weight in weights.items()
        if counts.get(kind)
    ]
    return sorted(needs, key=lambda need: -need.points)


def _points(needs: Sequence[Need]) -> int:
    return sum(need.points for need in needs)
