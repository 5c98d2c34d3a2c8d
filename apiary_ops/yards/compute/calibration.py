"""A grower's own factors, from pairs of counts of one colony: two views of one minute, or a cool and a warm day.

Each pair says by what a count would have had to be multiplied to stand where the other count puts the colony. Nothing
is offered from fewer than twelve pairs, and nothing is changed without the grower.
"""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from statistics import median

from apiary_ops.kernel.rounding import half_up

from .strength import ABOVE, BELOW, FRAMES_PER_BOX, Factor, band_of, warmth_of

FEWEST_PAIRS = 12
FIRST_APART, LAST_APART = 2, 21  # days between two looks of a pair
FEWEST_FRAMES = 2  # of so few a half frame more or less says nothing of a factor

Band = tuple[str, Decimal]  # the view, and from how many °C


@dataclass(frozen=True, slots=True)
class Count:
    """One look as it was counted, in frames; None is a view not taken."""

    colony_id: int
    on: date
    below: Decimal | None
    above: Decimal | None
    temperature_c: Decimal | None
    flying: bool

    def frames(self, view: str) -> Decimal | None:
        """The count of a view where it can tell of a factor: not next to nothing, and not of a full box."""
        counted = self.below if view == BELOW else self.above
        return counted if counted is not None and FEWEST_FRAMES <= counted < FRAMES_PER_BOX else None


@dataclass(frozen=True, slots=True)
class DayPair:
    """A cool and a warm count of one colony by one view. `start_frames` is the earlier of them on the footing."""

    view: str
    warmer_than_c: Decimal
    cool_frames: Decimal  # on the footing
    warm_counted: Decimal
    cool_first: bool
    colony_id: int
    first_on: date
    second_on: date
    start_frames: Decimal


@dataclass(frozen=True, slots=True)
class OwnFactor:
    """What own pairs say of one band: the median factor, the middle half of the pairs, and the factor in force."""

    view: str
    warmer_than_c: Decimal
    in_force: Decimal
    pairs: int
    factor: Decimal
    low: Decimal
    high: Decimal

    @property
    def is_offered(self) -> bool:
        """Whether there are pairs enough, and they say something else than the factor in force."""
        return self.pairs >= FEWEST_PAIRS and self.factor != self.in_force

    @property
    def source(self) -> str:
        """What stands beside the factor once it is accepted."""
        return f"own pairs: {self.pairs}, the middle half from {self.low} to {self.high}"


def view_factors(counts: Iterable[Count], factors: Sequence[Factor]) -> dict[Band, list[float]]:
    """From looks that took both views: what would bring the count from above to where the one from below stands."""
    found: dict[Band, list[float]] = defaultdict(list)
    for count in counts:
        below, above = _told(BELOW, count, factors), _told(ABOVE, count, factors)
        if below and above:
            found[ABOVE, above[1].warmer_than_c].append(float(below[0] * below[1].factor / above[0]))
    return dict(found)


def day_pairs(counts: Iterable[Count], factors: Sequence[Factor]) -> list[DayPair]:
    """Each colony's looks next to each other, 2 to 21 days apart, one in the coolest band and one in a warmer.

    `counts` come in order of the days.
    """
    last: dict[int, Count] = {}
    pairs = []
    for count in counts:
        earlier = last.get(count.colony_id)
        if earlier and FIRST_APART <= (count.on - earlier.on).days <= LAST_APART:
            pairs += [pair for view in (BELOW, ABOVE) if (pair := _day_pair(view, earlier, count, factors))]
        last[count.colony_id] = count
    return pairs


def temperature_factors(pairs: Sequence[DayPair], growths: Sequence[float]) -> dict[Band, list[float]]:
    """What would bring the warm count of each pair to its cool one, `growths` taken out.

    A growth is by how much the build-up multiplies that colony's bees from the first day of the pair to the second.
    """
    found: dict[Band, list[float]] = defaultdict(list)
    for pair, growth in zip(pairs, growths, strict=True):
        if growth > 0:
            expected = float(pair.cool_frames) * (growth if pair.cool_first else 1 / growth)
            found[pair.view, pair.warmer_than_c].append(expected / float(pair.warm_counted))
    return dict(found)


def own_factors(found: dict[Band, list[float]], factors: Sequence[Factor]) -> list[OwnFactor]:
    """For each band in force with pairs, what they say; a factor only scales down, so it is at most 1."""
    return [
        _own(factor, sorted(found[factor.view, factor.warmer_than_c]))
        for factor in factors
        if found.get((factor.view, factor.warmer_than_c))
    ]


def _own(factor: Factor, ordered: Sequence[float]) -> OwnFactor:
    half = (len(ordered) + 1) // 2
    middle, low, high = (
        min(half_up(Decimal(str(value)), 2), Decimal(1))
        for value in (median(ordered), median(ordered[:half]), median(ordered[-half:]))
    )
    return OwnFactor(factor.view, factor.warmer_than_c, factor.factor, len(ordered), middle, low, high)


def _day_pair(view: str, first: Count, second: Count, factors: Sequence[Factor]) -> DayPair | None:
    earlier, later = _told(view, first, factors), _told(view, second, factors)
    coolest = band_of(view, None, factors)
    if earlier is None or later is None or (earlier[1] == coolest) == (later[1] == coolest):
        return None
    cool_first = earlier[1] == coolest
    (cool, cool_band), (warm, warm_band) = (earlier, later) if cool_first else (later, earlier)
    return DayPair(
        view=view,
        warmer_than_c=warm_band.warmer_than_c,
        cool_frames=cool * cool_band.factor,
        warm_counted=warm,
        cool_first=cool_first,
        colony_id=first.colony_id,
        first_on=first.on,
        second_on=second.on,
        start_frames=earlier[0] * earlier[1].factor,
    )


def _told(view: str, count: Count, factors: Sequence[Factor]) -> tuple[Decimal, Factor] | None:
    """The frames of a view with the band they were counted in; None where they say nothing of a factor."""
    frames, warmth = count.frames(view), warmth_of(count.temperature_c, count.flying)
    if frames is None or warmth is None:
        return None
    band = band_of(view, warmth, factors)
    return (frames, band) if band else None
