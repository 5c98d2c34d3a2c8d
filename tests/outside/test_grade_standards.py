"""Pollination standards kept as data, against the figures their sources print."""

import pytest

from apiary_ops.kernel import units
from apiary_ops.yards.queries import grade_standards

STANDARDS = {row.name: row for row in grade_standards()}


# PNW 623 (areas as restated; frames derived with 134 in2 a side): 600 and 1,000 in2 of brood.
@pytest.mark.parametrize(
    ("name", "frames", "square_inches", "full_frames", "cells"),
    [
        ("Oregon-type grade A, orchard", 4, 600, 2.24, 14_160),
        ("Oregon-type grade A, field", 6, 1000, 3.73, 23_600),
    ],
)
def test_areas_of_brood_as_frames(name, frames, square_inches, full_frames, cells):
    row = STANDARDS[name]

    assert (row.least_frames, row.brood_square_inches) == (frames, square_inches)
    assert float(row.brood_frames) == pytest.approx(full_frames, abs=0.05)
    assert units.brood_cells(square_inches) == pytest.approx(cells)


# WSR 01-11-146: repealed, effective 30 June 2001.
def test_a_repealed_rule_is_not_shown_as_law():
    row = STANDARDS["Washington colony strength, WAC 16-602-030"]

    assert not row.in_force
    assert "repealed" in row.says
    assert row.least_frames is None


# sacvalleyorchards.com: at least 8 frames covered; ATTTA quoting CAPA: at least 8 deep frames fully covered.
@pytest.mark.parametrize("name", ["California almond, university guidance", "Canadian pollination guide (CAPA)"])
def test_eight_frames_are_strong(name):
    assert STANDARDS[name].least_frames == 8


# gnb.ca: 25,000 to 30,000 bees, about 15,000 a box; honeycouncil.ca: the same number from 5 frames of bees and brood.
def test_bees_that_eastern_standards_ask_for_need_more_than_ten_covered_frames():
    for name in ("New Brunswick, wild blueberry", "Canadian Honey Council"):
        assert STANDARDS[name].least_bees == 25_000
        assert units.bees_on(10) < STANDARDS[name].least_bees < units.bees_on(12.5)


def test_each_names_its_source_and_how_it_is_known():
    known = ("read", "quoted", "quoted in part", "brood quoted, frames from memory")

    assert all(row.source and row.how in known for row in STANDARDS.values())
    assert sum(row.in_force for row in STANDARDS.values()) == 8
