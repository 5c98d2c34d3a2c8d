"""The named starting values of the build-up, each with its unit, its allowed range and its source.

A value without a published source says "common practice" or "own fit, an assumption", and screens show it so.
Days of the year count 1 January as 1, on the northern calendar.
"""

from dataclasses import dataclass

from apiary_ops.kernel.units import CELLS_PER_DEEP_FRAME, FEWEST_BEES_PER_DEEP_FRAME, MOST_BEES_PER_DEEP_FRAME

SC07 = "Schmickl & Crailsheim 2007, Ecological Modelling"
OWN_FIT = "own fit, an assumption"
COMMON = "common practice"


@dataclass(frozen=True)
class Parameter:
    """One named value: what it is when nobody changes it, between which bounds it may lie, and who says so."""

    name: str
    value: float
    low: float
    high: float
    unit: str
    source: str


PARAMETERS: tuple[Parameter, ...] = (
    Parameter("egg_survival", 0.97, 0.90, 1.0, "share a day", SC07),
    Parameter("larva_survival", 0.99, 0.95, 1.0, "share a day", SC07),
    Parameter("sealed_survival", 0.999, 0.98, 1.0, "share a day", SC07),
    Parameter("winter_loss", 0.005, 0.001, 0.02, "share a day", "winter life 140 to 320 days, Becher et al. 2014"),
    Parameter("overwintered_loss", 0.055, 0.01, 0.12, "share a day", OWN_FIT),
    Parameter("spring_born_loss", 0.025, 0.005, 0.08, "share a day", OWN_FIT),
    Parameter("turnover_from_day", 60, 1, 85, "day of the year", OWN_FIT),
    Parameter("turnover_full_day", 86, 86, 120, "day of the year", OWN_FIT),
    Parameter("old_bees_fall", 0.075, 0.03, 0.15, "share a day", OWN_FIT),
    Parameter("cover_march", 1.2, 0.8, 1.6, "brood cells per adult", OWN_FIT),
    Parameter("cover_may", 2.2, 1.6, 3.0, "brood cells per adult", OWN_FIT + "; at most 3 in Free & Racey 1968"),
    Parameter("cover_from_day", 86, 60, 110, "day of the year", OWN_FIT),
    Parameter("cover_full_day", 135, 111, 170, "day of the year", OWN_FIT),
    Parameter("queen_ceiling", 1600, 800, 2500, "eggs a day", SC07),
    Parameter("curve_x1", 385, 100, 1000, "none", SC07),
    Parameter("curve_x2", 27, 20, 35, "days", SC07 + " has 30, a later model 25; 27 is " + OWN_FIT),
    Parameter("curve_x3", 36, 10, 100, "none", SC07),
    Parameter("curve_x4", 155, 120, 190, "day of the year", SC07),
    Parameter("curve_x5", 30, 15, 45, "days", SC07),
    Parameter(
        "bees_per_frame",
        2000,
        FEWEST_BEES_PER_DEEP_FRAME,
        MOST_BEES_PER_DEEP_FRAME,
        "bees",
        COMMON + "; range Simpson 1969 to Burgett & Burikam 1985",
    ),
    Parameter("cells_per_frame", CELLS_PER_DEEP_FRAME, 5500, 7000, "cells", "Sagili & Burgett 2011, PNW 623"),
    Parameter("cells_filled", 0.7, 0.5, 0.95, "share of a brood frame", OWN_FIT),
    Parameter("brood_share", 0.8, 0.5, 0.95, "share of the frames", COMMON + ": about 8 of 10 hold brood"),
    Parameter("full_share", 0.75, 0.5, 1.0, "share of the frames", COMMON + ": 7 to 8 of brood, 15 of 20 of bees"),
)

SPRING_SHIFTS: tuple[Parameter, ...] = (
    Parameter("low", 7, 0, 28, "days late", COMMON + ": usual year"),
    Parameter("middle", 0, -14, 21, "days late", COMMON + ": usual year"),
    Parameter("high", -7, -21, 0, "days late", COMMON + ": usual year"),
)

# Frames of bees in late March, and the frames of sealed brood that common practice expects behind them.
SEALED_BY_STRENGTH: tuple[tuple[float, float], ...] = ((0, 0), (2.5, 0.5), (4.0, 1.0), (5.2, 1.5), (6.5, 2.5))

_BY_NAME = {row.name: row for row in PARAMETERS}


def _default(name: str) -> float:
    return _BY_NAME[name].value


@dataclass(frozen=True)
class BuildUp:
    """The values one run uses; `PARAMETERS` tells the meaning, unit and source of each."""

    egg_survival: float = _default("egg_survival")
    larva_survival: float = _default("larva_survival")
    sealed_survival: float = _default("sealed_survival")
    winter_loss: float = _default("winter_loss")
    overwintered_loss: float = _default("overwintered_loss")
    spring_born_loss: float = _default("spring_born_loss")
    turnover_from_day: float = _default("turnover_from_day")
    turnover_full_day: float = _default("turnover_full_day")
    old_bees_fall: float = _default("old_bees_fall")
    cover_march: float = _default("cover_march")
    cover_may: float = _default("cover_may")
    cover_from_day: float = _default("cover_from_day")
    cover_full_day: float = _default("cover_full_day")
    queen_ceiling: float = _default("queen_ceiling")
    curve_x1: float = _default("curve_x1")
    curve_x2: float = _default("curve_x2")
    curve_x3: float = _default("curve_x3")
    curve_x4: float = _default("curve_x4")
    curve_x5: float = _default("curve_x5")
    bees_per_frame: float = _default("bees_per_frame")
    cells_per_frame: float = _default("cells_per_frame")
    cells_filled: float = _default("cells_filled")
    brood_share: float = _default("brood_share")
    full_share: float = _default("full_share")

    @property
    def brood_cells_per_frame(self) -> float:
        """Cells with brood in one brood frame."""
        return self.cells_per_frame * self.cells_filled


DEFAULTS = BuildUp()


def checked(**overrides: float) -> BuildUp:
    """The default values with some replaced.

    Raises ValueError, naming the allowed range, for a value outside it and for a name nobody knows.
    """
    for name, value in overrides.items():
        row = _BY_NAME.get(name)
        if row is None:
            raise ValueError(f"There is no build-up value called {name}: choose one of {', '.join(sorted(_BY_NAME))}.")
        if not row.low <= value <= row.high:
            words = name.replace("_", " ").capitalize()
            raise ValueError(f"{words} must lie between {row.low:g} and {row.high:g} ({row.unit}), not {value:g}.")
    return BuildUp(**overrides)
