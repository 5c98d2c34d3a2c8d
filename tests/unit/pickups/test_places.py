"""Loading minutes and places; figures are common practice of the trade, without a published source."""

from datetime import time
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from apiary_ops.pickups.compute import WindowDraft, loading_minutes, plan_windows, suggested_places


@pytest.mark.parametrize(("nucs", "minutes"), [(1, 9), (4, 9), (5, Fraction(21, 2)), (10, 18), (24, 39)])
def test_a_car_takes_nine_minutes_up_to_four_nucs_and_one_and_a_half_for_each_more(nucs, minutes):
    assert loading_minutes(nucs) == minutes


def test_an_hour_with_two_hands_has_thirteen_places():
    assert suggested_places(60, 2) == 13


def test_bigger_loads_leave_fewer_places():
    assert suggested_places(60, 2, nucs_a_car=10) == 6


def test_a_dawn_session_with_two_hands_loads_what_common_practice_says():
    """Two and a half hours, cars of 2 nucs on average: 60 to 100 nucs."""
    assert 60 <= 2 * suggested_places(150, 2) <= 100


def test_a_morning_is_cut_into_hours():
    windows = plan_windows(time(5), time(8), minutes=60, hands=2)

    assert windows == (
        WindowDraft(time(5), time(6), 13),
        WindowDraft(time(6), time(7), 13),
        WindowDraft(time(7), time(8), 13),
    )


def test_places_given_by_hand_stand():
    assert plan_windows(time(5), time(6), minutes=30, hands=1, places=2) == (
        WindowDraft(time(5), time(5, 30), 2),
        WindowDraft(time(5, 30), time(6), 2),
    )


def test_a_short_rest_belongs_to_the_last_window_and_a_long_one_is_a_window():
    assert plan_windows(time(5), time(6, 20), minutes=60, hands=2) == (WindowDraft(time(5), time(6, 20), 17),)
    assert plan_windows(time(5), time(6, 30), minutes=60, hands=2) == (
        WindowDraft(time(5), time(6), 13),
        WindowDraft(time(6), time(6, 30), 6),
    )


def test_a_day_that_ends_before_it_starts_has_no_windows():
    assert plan_windows(time(8), time(8), minutes=60, hands=2) == ()
    assert plan_windows(time(8), time(7), minutes=60, hands=2) == ()
    assert plan_windows(time(7), time(8), minutes=0, hands=2) == ()


moments = st.times().map(lambda at: at.replace(second=0, microsecond=0))


@given(moments, moments, st.integers(1, 300), st.integers(1, 6))
def test_windows_follow_each_other_without_gap_from_first_to_last(starts_at, ends_at, minutes, hands):
    windows = plan_windows(starts_at, ends_at, minutes=minutes, hands=hands)

    if ends_at <= starts_at:
        assert windows == ()
        return
    assert windows[0].starts_at == starts_at
    assert windows[-1].ends_at == ends_at
    assert all(window.starts_at < window.ends_at for window in windows)
    assert all(one.ends_at == following.starts_at for one, following in zip(windows, windows[1:], strict=False))
