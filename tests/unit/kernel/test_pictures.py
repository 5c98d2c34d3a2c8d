"""Axes in round numbers, and values to scale."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from apiary_ops.kernel.pictures import Scale, every_nth, round_levels


@pytest.mark.parametrize(
    ("most", "levels"), [(0, [0, 1]), (4, [0, 1, 2, 3, 4]), (8.5, [0, 2, 4, 6, 8, 10]), (133, [0, 50, 100, 150])]
)
def test_levels_are_round_and_reach_the_most(most, levels):
    assert round_levels(most) == levels


def test_an_axis_below_nothing_is_refused():
    with pytest.raises(ValueError) as refusal:
        round_levels(-1)
    assert str(refusal.value) == "An axis runs up from 0, not to -1."


def test_a_value_stands_to_scale():
    assert Scale(0, 10, 100, 0).at(2.5) == 75.0


def test_a_single_value_stands_in_the_middle():
    assert Scale(7, 7, 20, 40).at(7) == 30.0


def test_as_many_names_as_there_is_room_for():
    assert [every_nth(count, 5) for count in (1, 5, 6, 11)] == [1, 1, 2, 3]


@given(st.integers(0, 10**7))
def test_levels_are_few_and_reach_the_most_without_waste(most):
    levels = round_levels(most)

    assert levels[0] == 0
    assert 2 <= len(levels) <= 6
    assert levels[-2] < most <= levels[-1] or most == 0
