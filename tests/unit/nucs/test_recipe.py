"""Frames from donors to nucs."""

from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from apiary_ops.nucs.compute import Frames, expected_count, expected_ready_on, makes, needed, shortage

RECIPE = Frames(Decimal("2.5"), Decimal(2))
frames = st.builds(Frames, *[st.integers(0, 40).map(lambda halves: Decimal(halves) / 2)] * 2)


def test_twenty_nucs_take_fifty_frames_of_bees_and_forty_of_brood():
    assert needed(RECIPE, 20) == Frames(Decimal(50), Decimal(40))


def test_what_donors_gave_too_little_is_named_by_kind_of_frame():
    given_frames = [Frames(Decimal(5), Decimal(3)), Frames(Decimal(4), Decimal("1.5"))]

    assert shortage(given_frames, needed(RECIPE, 3)) == Frames(Decimal(0), Decimal("1.5"))


def test_enough_is_no_shortage():
    assert not shortage([Frames(Decimal(5), Decimal(4))], needed(RECIPE, 2))


@given(st.lists(frames, max_size=8))
def test_the_frames_make_as_many_nucs_as_they_cover_and_not_one_more(given_frames):
    nucs = makes(given_frames, RECIPE)

    assert not shortage(given_frames, needed(RECIPE, nucs))
    assert shortage(given_frames, needed(RECIPE, nucs + 1))


@given(st.lists(frames, max_size=8), st.integers(0, 20))
def test_frames_are_conserved(given_frames, nucs):
    taken = needed(RECIPE, nucs)
    lacking = shortage(given_frames, taken)
    total = sum(given_frames, Frames(Decimal(0), Decimal(0)))

    assert total.bees + lacking.bees >= taken.bees
    assert total.brood + lacking.brood >= taken.brood
    assert not lacking.bees or total.bees + lacking.bees == taken.bees
    assert not lacking.brood or total.brood + lacking.brood == taken.brood


@pytest.mark.parametrize(("live", "expected"), [(0, 0), (1, 0), (20, 16), (25, 21), (60, 50)])
def test_an_expected_count_is_rounded_down(live, expected):
    assert expected_count(live, Decimal("0.84")) == expected


def test_a_batch_is_expected_four_weeks_after_make_up_and_a_late_one_at_the_next_round():
    made_on = date(2027, 5, 4)

    assert expected_ready_on(made_on, 4, today=date(2027, 5, 20)) == date(2027, 6, 1)
    assert expected_ready_on(made_on, 4, today=date(2027, 6, 1)) == date(2027, 6, 1)
    assert expected_ready_on(made_on, 4, today=date(2027, 6, 3)) == date(2027, 6, 10)
