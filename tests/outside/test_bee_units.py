"""Bees, comb and brood against the literature of the trade, and field units against their definitions."""

from math import floor, sqrt

import pytest

from apiary_ops.kernel import units


# The Good Fruit Grower (goodfruit.com) prints the range 19,200 to 24,000 for 8 to 10 frames.
def test_adults_on_eight_and_ten_frames():
    assert units.bees_on(8) == 19_200
    assert units.bees_on(10) == 24_000


# 1,400: Simpson 1969, J. Apic. Res. 8:3-8. 2,400: Sagili & Burgett 2011, PNW 623. 2,430: Burgett & Burikam 1985,
# J. Econ. Entomol. 78:1154 (from memory).
def test_eight_frames_may_mean_very_different_populations():
    assert units.population_range(8) == (11_200, 19_440)
    assert units.population_range(8)[0] < units.bees_on(8) < units.population_range(8)[1]


# Two independent studies of a full comb: 2,430 (as above) lies within 2 % of 2,400 (PNW 623).
def test_packed_and_well_covered_combs_agree():
    assert pytest.approx(units.BEES_PER_COVERED_DEEP_FRAME, rel=0.02) == units.MOST_BEES_PER_DEEP_FRAME


# Density from PNW 623 (8 x 16.75 in a side), and the Swiss estimate of 125 to 130 bees per dm2 (Imdorf & Gerig, from
# memory) within 15 %.
def test_density_of_well_covered_comb():
    square_decimetres_per_side = units.COMB_SQUARE_INCHES_PER_SIDE * 0.254**2

    density = units.BEES_PER_COVERED_DEEP_FRAME / (2 * square_decimetres_per_side)

    assert density == pytest.approx(139, abs=0.5)
    assert density == pytest.approx(125, rel=0.15)


# Justrich, in A. Betts, Bee World, September 1938, pp. 106-107: the table ends 12.8 -> 378 and 20 -> 923, without
# decimals.
@pytest.mark.parametrize(("cells_along_10_cm", "printed"), [(12.8, 378), (20, 923)])
def test_cells_of_a_square_decimetre(cells_along_10_cm, printed):
    assert floor(units.cells_per_square_decimetre(cells_along_10_cm)) == printed


# Geometry: a hexagon of width w covers sqrt(3)/2 x w^2, and comb has two faces.
def test_the_cell_formula_is_that_of_hexagons():
    width = 1 / 19

    assert units.cells_per_square_decimetre(19) == pytest.approx(2 / (sqrt(3) / 2 * width**2), rel=0.001)


# PNW 623 (as restated): twenty sides of 8 x 16.75 in within 1 % of the nominal 2,700 square inches of a deep box.
def test_comb_of_a_ten_frame_deep_box():
    assert units.COMB_SQUARE_INCHES_PER_SIDE == 8 * 16.75
    assert 20 * units.COMB_SQUARE_INCHES_PER_SIDE == 2_680
    assert pytest.approx(2_700, rel=0.01) == 20 * units.COMB_SQUARE_INCHES_PER_SIDE


# Areas of the Oregon grade A standards (PNW 623, as restated); cells and frames derived.
@pytest.mark.parametrize(("square_inches", "cells", "frames"), [(600, 14_160, 2.24), (1000, 23_600, 3.73)])
def test_brood_area_in_cells_and_deep_frames(square_inches, cells, frames):
    assert units.brood_cells(square_inches) == pytest.approx(cells)
    assert units.deep_frames_of_brood(square_inches) == pytest.approx(frames, abs=0.005)


# Derived from PNW 623: 2 x 134 in2 x 23.6 cells, to the next whole cell.
def test_cells_of_a_deep_frame():
    assert units.brood_cells(2 * units.COMB_SQUARE_INCHES_PER_SIDE) == pytest.approx(6_324.8)
    assert units.CELLS_PER_DEEP_FRAME == 6_325


# Derived: 6,325 cells, 85 or 95 % filled, over 2,400 bees a frame.
@pytest.mark.parametrize(("filled", "frames_of_bees"), [(0.85, 2.24), (0.95, 2.50)])
def test_bees_from_one_sealed_frame(filled, frames_of_bees):
    assert units.frames_of_bees_from_sealed(1, filled) == pytest.approx(frames_of_bees, abs=0.005)


# Winston 1987 p. 50 for the stages; ACT Beekeepers, Bee Buzz Box, September 2022, for the balance 1 : 2 : 4.
def test_brood_of_a_queen_that_lays_evenly():
    eggs, larvae, capped = units.brood_at_steady_laying(1_200)

    assert (eggs, larvae, capped) == (3_600, 7_200, 14_400)
    assert eggs + larvae + capped == 1_200 * 21 == 25_200
    assert (larvae / eggs, capped / eggs) == (2, 4)
    assert capped / units.CELLS_PER_DEEP_FRAME == pytest.approx(2.28, abs=0.005)


# Derived from frame heights 9 1/8, 6 1/4 and 5 3/8 in, each less 1 1/8 in of bars.
@pytest.mark.parametrize(
    ("depth", "height", "bees"), [("deep", 9.125, 2_400), ("medium", 6.25, 1_540), ("shallow", 5.375, 1_275)]
)
def test_shallower_combs_by_their_height(depth, height, bees):
    comb = (height - 1.125) / (9.125 - 1.125)

    assert units.deep_equivalent(1, depth) == pytest.approx(comb, abs=0.005)
    assert units.deep_equivalent(1, depth) * units.BEES_PER_COVERED_DEEP_FRAME == pytest.approx(bees, abs=5)


# Common practice of the trade: the temperatures of a look; exact by definition of the scales.
@pytest.mark.parametrize(("cold", "warm"), [(5, 41), (10, 50), (15, 59), (-40, -40), (0, 32)])
def test_temperatures_of_a_look(cold, warm):
    assert units.fahrenheit(cold) == warm
    assert units.celsius(warm) == cold


# International yard and pound agreement, 1959.
def test_pounds_and_miles_are_exact():
    assert units.kilograms(1) == 0.45359237
    assert units.kilometres(1) == 1.609344
