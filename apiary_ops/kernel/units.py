"""Bees, comb and brood in frames, and the units of the field: temperature, weight, distance.

A frame is a deep Langstroth frame, both sides, unless its name says otherwise. These are measures of
living things, so they are floats; money never is.
"""

# Adult bees on one deep frame. Well covered: Sagili & Burgett 2011, PNW 623 (as restated).
BEES_PER_COVERED_DEEP_FRAME = 2400
# Average on occupied combs in roomy hives: Simpson 1969, J. Apic. Res. 8:3-8.
FEWEST_BEES_PER_DEEP_FRAME = 1400
# Packed comb: Burgett & Burikam 1985, J. Econ. Entomol. 78:1154 (from memory, table not seen).
MOST_BEES_PER_DEEP_FRAME = 2430

# Comb of 8 x 16.75 inches a side and 23.6 worker cells per square inch of one side: PNW 623 (as restated).
COMB_SQUARE_INCHES_PER_SIDE = 134
WORKER_CELLS_PER_SQUARE_INCH = 23.6
# 2 x 134 x 23.6 = 6,324.8.
CELLS_PER_DEEP_FRAME = 6325

# Comb as a fraction of a deep frame's: frame heights 9 1/8, 6 1/4 and 5 3/8 in, each less 1 1/8 in of bars.
# For strength only; frames given to a nuc are counted by their own size.
DEEP_FRACTION = {"deep": 1.0, "medium": 0.64, "shallow": 0.53}

# Days a worker spends in each stage: Winston 1987 p. 50 (hatches day 3, capped day 9, emerges day 21).
EGG_DAYS = 3
LARVA_DAYS = 6
CAPPED_DAYS = 12
BROOD_DAYS = EGG_DAYS + LARVA_DAYS + CAPPED_DAYS

# Exact by definition: international yard and pound agreement, 1959.
KILOGRAMS_PER_POUND = 0.45359237
KILOMETRES_PER_MILE = 1.609344


def bees_on(frames: float) -> int:
    """Adult bees on `frames` well-covered deep frames."""
    return round(frames * BEES_PER_COVERED_DEEP_FRAME)


def population_range(frames: float) -> tuple[int, int]:
    """Fewest and most adult bees that `frames` occupied deep frames may mean; show both, never one."""
    return round(frames * FEWEST_BEES_PER_DEEP_FRAME), round(frames * MOST_BEES_PER_DEEP_FRAME)


def deep_equivalent(frames: float, depth: str) -> float:
    """`frames` of the given depth ("deep", "medium", "shallow") as deep frames of comb, for strength.

    Raises ValueError for another depth.
    """
    if depth not in DEEP_FRACTION:
        raise ValueError(f"“{depth}” is not a frame depth; use deep, medium or shallow.")
    return frames * DEEP_FRACTION[depth]


def frames_of_bees_from_sealed(frames: float, filled: float) -> float:
    """Well-covered deep frames of bees that emerge from `frames` sealed deep frames, none lost.

    `filled` is the sealed share of the cells, 0 to 1. Raises ValueError outside that range.
    """
    if not 0 <= filled <= 1:
        raise ValueError(f"The sealed share of a frame lies between 0 and 1, got {filled}.")
    return frames * filled * CELLS_PER_DEEP_FRAME / BEES_PER_COVERED_DEEP_FRAME


def brood_cells(square_inches: float) -> float:
    """Worker cells in `square_inches` of brood, measured on one side of a comb at a time."""
    return square_inches * WORKER_CELLS_PER_SQUARE_INCH


def deep_frames_of_brood(square_inches: float) -> float:
    """`square_inches` of brood as full deep frames, both sides."""
    return square_inches / (2 * COMB_SQUARE_INCHES_PER_SIDE)


def brood_at_steady_laying(eggs_per_day: float) -> tuple[float, float, float]:
    """Eggs, larvae and capped cells of a queen that has laid evenly for 21 days, none lost."""
    return eggs_per_day * EGG_DAYS, eggs_per_day * LARVA_DAYS, eggs_per_day * CAPPED_DAYS


def cells_per_square_decimetre(cells_along_10_cm: float) -> float:
    """Cells on both faces of a square decimetre of comb, from the cells counted along 10 cm.

    A cell is a hexagon, so a face holds 2/sqrt(3) x n^2: Justrich, in Betts, Bee World, September 1938.
    """
    return 2.309 * cells_along_10_cm**2


def celsius(fahrenheit: float) -> float:
    """Degrees Celsius from degrees Fahrenheit."""
    return (fahrenheit - 32) * 5 / 9


def fahrenheit(celsius: float) -> float:
    """Degrees Fahrenheit from degrees Celsius."""
    return celsius * 9 / 5 + 32


def kilograms(pounds: float) -> float:
    """Kilograms from pounds."""
    return pounds * KILOGRAMS_PER_POUND


def pounds(kilograms: float) -> float:
    """Pounds from kilograms."""
    return kilograms / KILOGRAMS_PER_POUND


def kilometres(miles: float) -> float:
    """Kilometres from miles."""
    return miles * KILOMETRES_PER_MILE


def miles(kilometres: float) -> float:
    """Miles from kilometres."""
    return kilometres / KILOMETRES_PER_MILE
