"""Strength on one footing: frames of bees as counted cool, not flying, from below with the boxes parted.

Published work finds counts from above sensitive to weather and not linear (Chabert et al. 2021, Ecological Indicators)
and gives no table, so factors are stated assumptions and each strength carries a spread.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from apiary_ops.kernel.rounding import half_up

BELOW, ABOVE = "below", "above"
FRAMES_PER_BOX = 10
# Bees fly from about here on, so a flying colony is read as at least this warm (common practice).
FLYING_C = Decimal(10)

# How far a count may be off, in frames: assumptions, wide on purpose. A view has its own error; a factor is believed
# to half of what it takes off; without a temperature the count may be a warm one; a full box hides what hangs outside.
VIEW_ERROR = {BELOW: Decimal("0.5"), ABOVE: Decimal("1.0")}
UNKNOWN_TEMPERATURE_ERROR = Decimal("0.1")
FULL_BOX_ERROR = Decimal("1.0")
# Two views of one minute that differ by more than this deserve a second look.
VIEWS_DIFFER = Decimal(2)

_VIEW_WORDS = {BELOW: "from below", ABOVE: "from above"}


@dataclass(frozen=True, slots=True)
class Factor:
    """Counts of `view` at `warmer_than_c` and warmer are multiplied by `factor`, until the next band begins."""

    view: str
    warmer_than_c: Decimal
    factor: Decimal
    valid_from: date
    source: str = ""


@dataclass(frozen=True, slots=True)
class HowLine:
    """One line of "how this number comes about"."""

    label: str
    value: str
    unit: str = ""
    note: str = ""
    is_total: bool = False


@dataclass(frozen=True, slots=True)
class Reading:
    """One count brought to the footing: full boxes stand as they are, the rest is scaled by the band's factor."""

    view: str
    counted: Decimal
    band_from_c: Decimal | None
    factor: Decimal
    source: str
    full_boxes: int
    frames: Decimal
    spread: Decimal
    doubt: Decimal  # the part of the spread that every count of this weather shares: the factor may be off for all

    @property
    def words(self) -> str:
        return _VIEW_WORDS[self.view]


@dataclass(frozen=True, slots=True)
class Strength:
    """Frames of bees on the footing with a spread, both to a tenth, and where they came from."""

    frames: Decimal
    spread: Decimal
    readings: tuple[Reading, ...]
    temperature_c: Decimal | None
    flying: bool

    @property
    def shared_spread(self) -> Decimal:
        """What all colonies counted this way may be off by together; what each errs by itself averages out."""
        return half_up(min(reading.doubt for reading in self.readings), 1)

    @property
    def sentence(self) -> str:
        """How the number came about, for a person."""
        parts = [_reading_words(reading) for reading in self.readings]
        joined = "; ".join(parts)
        weather = self._weather()
        if len(self.readings) == 1:
            return f"Counted {joined}, {weather}: {self.frames} ± {self.spread} frames."
        apart = abs(self.readings[0].frames - self.readings[1].frames)
        differ = f" The views differ by {half_up(apart, 1)} frames: look again." if apart > VIEWS_DIFFER else ""
        return (
            f"Counted {joined}, {weather}. The two views are averaged, since each errs its own way: "
            f"{self.frames} ± {self.spread} frames.{differ}"
        )

    @property
    def lines(self) -> tuple[HowLine, ...]:
        """The same as lines of an account."""
        lines = []
        for reading in self.readings:
            lines.append(HowLine(f"Counted {reading.words}", f"{_plain(reading.counted)}", "frames"))
            note = "a full box stands as it is and is not scaled" if reading.full_boxes else reading.source
            lines.append(HowLine(f"× factor, {self._weather()}", f"{_plain(reading.factor)}", note=note))
        if len(self.readings) > 1:
            views = " and ".join(_plain(half_up(reading.frames, 2)) for reading in self.readings)
            lines.append(HowLine("Average of the two views", views, "frames", note="each errs its own way"))
        lines.append(HowLine("Strength: cool, not flying, from below", f"{self.frames}", "frames", is_total=True))
        lines.append(HowLine("Spread", f"± {self.spread}", "frames", note="an assumption for view and temperature"))
        return tuple(lines)

    def _weather(self) -> str:
        warmth = f"at {_plain(self.temperature_c)} °C" if self.temperature_c is not None else "taken as cool"
        if self.temperature_c is None and not self.flying:
            return "temperature not noted, taken as cool"
        return f"{warmth}, flying" if self.flying else warmth


def standard_strength(
    *,
    below_halves: int | None,
    above_halves: int | None,
    temperature_c: Decimal | None,
    factors: Sequence[Factor],
    boxes: int,
    flying: bool = False,
) -> Strength | None:
    """The strength of a colony on the footing, from counts in half frames; None when neither view was counted.

    `factors` are those in force (see `factors_on`). A full box is capped, not scaled: its count says "at least", so
    only what lies beyond full boxes is multiplied. Both views are averaged. For one weather a higher count never
    gives a lower strength; with factors that fall with warmth, a warmer day never gives a higher one.
    """
    warmth = warmth_of(temperature_c, flying)
    readings = tuple(
        _reading(view, min(halves, 2 * FRAMES_PER_BOX * boxes), warmth, factors)
        for view, halves in ((BELOW, below_halves), (ABOVE, above_halves))
        if halves is not None
    )
    if not readings:
        return None
    frames = sum((reading.frames for reading in readings), Decimal(0)) / len(readings)
    return Strength(half_up(frames, 1), half_up(_spread(readings), 1), readings, temperature_c, flying)


def factors_on(factors: Iterable[Factor], day: date) -> tuple[Factor, ...]:
    """The factors in force on a day: of each view and band the latest valid by then, from below first."""
    latest: dict[tuple[str, Decimal], Factor] = {}
    for factor in sorted(factors, key=lambda one: one.valid_from):
        if factor.valid_from <= day:
            latest[factor.view, factor.warmer_than_c] = factor
    return tuple(sorted(latest.values(), key=lambda one: (one.view == ABOVE, one.warmer_than_c)))


def warmth_of(temperature_c: Decimal | None, flying: bool) -> Decimal | None:
    """How warm a count is read as: bees that fly say it is warm."""
    if not flying:
        return temperature_c
    return FLYING_C if temperature_c is None else max(temperature_c, FLYING_C)


def _reading(view: str, halves: int, warmth: Decimal | None, factors: Sequence[Factor]) -> Reading:
    band = band_of(view, warmth, factors)
    factor = band.factor if band else Decimal(1)
    counted = Decimal(halves) / 2
    full_boxes = halves // (2 * FRAMES_PER_BOX)
    beyond = counted - full_boxes * FRAMES_PER_BOX
    frames = full_boxes * FRAMES_PER_BOX + beyond * factor
    doubt = UNKNOWN_TEMPERATURE_ERROR if warmth is None else (1 - factor) / 2
    spread = VIEW_ERROR[view] + beyond * doubt + (FULL_BOX_ERROR if full_boxes else 0)
    return Reading(
        view=view,
        counted=counted,
        band_from_c=band.warmer_than_c if band else None,
        factor=factor,
        source=band.source if band else "no factor is stated for this view",
        full_boxes=full_boxes,
        frames=frames,
        spread=min(spread, max(frames, VIEW_ERROR[view])),
        doubt=min(beyond * doubt, frames),
    )


def band_of(view: str, warmth: Decimal | None, factors: Sequence[Factor]) -> Factor | None:
    """The warmest band that has begun; a count without a temperature is taken as a cool one."""
    bands = [factor for factor in factors if factor.view == view]
    if warmth is None:
        return min(bands, key=lambda one: one.warmer_than_c, default=None)
    begun = [band for band in bands if band.warmer_than_c <= warmth]
    return max(begun, key=lambda one: one.warmer_than_c, default=None)


def _spread(readings: Sequence[Reading]) -> Decimal:
    """Of two views the better one's spread, or half of what they differ by when that is more."""
    narrowest = min(reading.spread for reading in readings)
    apart = max(reading.frames for reading in readings) - min(reading.frames for reading in readings)
    return max(narrowest, apart / 2)


def _reading_words(reading: Reading) -> str:
    counted = f"{reading.words} {_plain(reading.counted)}"
    if reading.full_boxes:
        return f"{counted}, a full box, which is not scaled: there may be more"
    if reading.factor == 1:
        return counted
    return f"{counted} × {_plain(reading.factor)} = {_plain(half_up(reading.frames, 2))}"


def _plain(value: Decimal | None) -> str:
    """5.50 as 5.5 and 6.0 as 6."""
    return "" if value is None else f"{value.normalize():f}"
