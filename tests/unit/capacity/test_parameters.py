"""The starting values of the build-up: each named, bounded and sourced."""

from dataclasses import fields

import pytest

from apiary_ops.capacity.compute import DEFAULTS, PARAMETERS, SPRING_SHIFTS, BuildUp, checked


def test_every_value_has_its_row_and_every_row_its_value():
    assert [row.name for row in PARAMETERS] == [field.name for field in fields(BuildUp)]
    assert all(getattr(DEFAULTS, row.name) == row.value for row in PARAMETERS)


@pytest.mark.parametrize("row", [*PARAMETERS, *SPRING_SHIFTS], ids=lambda row: row.name)
def test_each_row_names_unit_and_source_and_lies_in_its_range(row):
    assert row.low <= row.value <= row.high
    assert row.unit.strip()
    assert row.source.strip()


def test_a_value_in_its_range_replaces_the_default():
    changed = checked(queen_ceiling=2000)

    assert changed.queen_ceiling == 2000
    assert changed.bees_per_frame == 2000
    assert changed.cover_may == DEFAULTS.cover_may


def test_a_queen_of_ten_thousand_eggs_is_refused():
    with pytest.raises(ValueError) as refusal:
        checked(queen_ceiling=10_000)

    assert str(refusal.value) == "Queen ceiling must lie between 800 and 2500 (eggs a day), not 10000."


def test_a_value_that_is_no_number_is_refused():
    with pytest.raises(ValueError, match="Spring born loss must lie between 0.005 and 0.08"):
        checked(spring_born_loss=float("nan"))


def test_an_unknown_name_is_refused():
    with pytest.raises(ValueError, match="There is no build-up value called honey: choose one of bees_per_frame, "):
        checked(honey=1)


@pytest.mark.parametrize("row", PARAMETERS, ids=lambda row: row.name)
def test_each_bound_itself_is_allowed_and_beyond_it_is_not(row):
    assert getattr(checked(**{row.name: row.low}), row.name) == row.low
    assert getattr(checked(**{row.name: row.high}), row.name) == row.high
    with pytest.raises(ValueError):
        checked(**{row.name: row.low - 1})
    with pytest.raises(ValueError):
        checked(**{row.name: row.high + 1})
