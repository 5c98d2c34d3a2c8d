"""Colonies nobody looked at one by one: what a tally of their yard, or a sample of it, says of each.

Which colony is which is not told apart, so what is known is dealt out evenly along the walking order: colonies that
are kept for something else, wherever they stand, take their fair share of the strong and of the weak.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from math import sqrt
from statistics import mean, stdev

from apiary_ops.kernel.rounding import half_up
from apiary_ops.kernel.shares import shares

from .grades import Rule
from .strength import Strength

# Assumptions, shown as such. An eye that grades a hive without counting errs about as much as a count from below, on
# top of what a grade leaves open; and the strongest grade, open above, is taken to reach so far.
TALLY_ERROR = Decimal("0.5")
TOP_BAND = Decimal(2)
FEWEST_IN_A_SAMPLE = 4  # colonies; fewer say nothing of the rest
LOOK_STANDS_DAYS = 21  # a look at one colony says more than a tally or a sample of its yard up to so many days later
GOLDEN = (sqrt(5) - 1) / 2


@dataclass(frozen=True, slots=True)
class Estimate:
    """Frames on the footing that a tally or a sample gives a colony, with a spread, both to a tenth.

    `shared_spread` is what all its yard's estimates may be off by together; it does not average out.
    """

    frames: Decimal
    spread: Decimal
    shared_spread: Decimal


def grade_bands(rules: Sequence[Rule]) -> dict[str, tuple[Decimal, Decimal]]:
    """Each grade's strengths, from and up to, strongest first; what the rules ask of sealed brood is left aside."""
    lows: dict[str, Decimal] = {}
    for rule in rules:
        lows[rule.grade] = min(rule.least_frames, lows.get(rule.grade, rule.least_frames))
    strongest_first = sorted(lows.items(), key=lambda item: -item[1])
    return {
        grade: (low, min((other for other in lows.values() if other > low), default=low + TOP_BAND))
        for grade, low in strongest_first
    }


def from_tally(
    counts: Mapping[str, int], looked: Sequence[tuple[Decimal, Decimal | None]], places: int, rules: Sequence[Rule]
) -> list[Estimate | None]:
    """What a tally says of `places` colonies in walking order; None for those it did not count alive.

    `counts` are colonies by grade, `looked` the strength and sealed brood of those the tally counted too but a look
    tells more about: they are taken off their grade, or the nearest that has any. A tally of more than there are
    loses evenly from all grades. A grade is taken at the middle of its band, give or take half of it and the eye's
    own error. A grade the rules do not name says nothing.
    """
    bands = grade_bands(rules)
    left = {grade: counts.get(grade, 0) for grade in bands}
    for strength, sealed in looked:
        _take_off(left, bands, _grade_of(strength, sealed, rules))
    alive = sum(left.values())
    if alive > places:
        left = dict(zip(left, shares(places, list(left.values())), strict=True))
    told: list[Estimate | None] = [_middle(*bands[grade]) for grade, number in left.items() for _ in range(number)]
    return _spread_out(told + [None] * (places - len(told)))


def from_sample(sample: Sequence[Strength], places: int) -> list[Estimate | None]:
    """What a sample says of `places` other colonies in walking order: its quantiles.

    Each may be off by what a look is off by and, all together, by twice the sample mean's standard error, less for the
    share of the yard it saw. None for every place when the sample is too small to tell.
    """
    if len(sample) < FEWEST_IN_A_SAMPLE or not places:
        return [None] * places
    ordered = sorted(float(one.frames) for one in sample)
    unseen = places / (places + len(ordered))
    error = 2 * stdev(ordered) / sqrt(len(ordered)) * sqrt(unseen)
    spread = _tenth(mean(float(one.spread) for one in sample) + error)
    shared = _tenth(mean(float(one.shared_spread) for one in sample) + error)
    strongest_first = [_quantile(ordered, 1 - (place + 0.5) / places) for place in range(places)]
    return _spread_out([Estimate(_tenth(frames), spread, shared) for frames in strongest_first])


def _spread_out(strongest_first: Sequence[Estimate | None]) -> list[Estimate | None]:
    """Dealt out so that every stretch of the walk has its share of each: by the golden section's sequence."""
    walk: list[Estimate | None] = [None] * len(strongest_first)
    order = sorted(range(len(strongest_first)), key=lambda place: place * GOLDEN % 1)
    for place, what in zip(order, strongest_first, strict=True):
        walk[place] = what
    return walk


def _take_off(left: dict[str, int], bands: Mapping[str, tuple[Decimal, Decimal]], grade: str) -> None:
    if grade not in left:
        return
    near = sorted((name for name in left if left[name]), key=lambda name: abs(bands[name][0] - bands[grade][0]))
    if near:
        left[near[0]] -= 1


def _grade_of(strength: Decimal, sealed: Decimal | None, rules: Sequence[Rule]) -> str:
    return next((rule.grade for rule in rules if rule.matches(strength, sealed)), "")


def _middle(low: Decimal, high: Decimal) -> Estimate:
    half = (high - low) / 2
    spread = half_up(min(half + TALLY_ERROR, low + half), 1)
    return Estimate(half_up(low + half, 1), spread, spread)


def _quantile(ordered: Sequence[float], share: float) -> float:
    """The value below which that share lies, each value standing in the middle of its own share."""
    at = min(max(share * len(ordered) - 0.5, 0.0), len(ordered) - 1.0)
    below = int(at)
    above = min(below + 1, len(ordered) - 1)
    return ordered[below] + (at - below) * (ordered[above] - ordered[below])


def _tenth(frames: float) -> Decimal:
    return half_up(Decimal(str(frames)), 1)
