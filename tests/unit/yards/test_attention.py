"""Which yard wants eyes, and what a look may hold."""

from datetime import date, time
from decimal import Decimal

import pytest

from apiary_ops.yards.compute import (
    cold_brood_warning,
    frames_were_out,
    halves_held,
    minutes_between,
    yard_states,
)

TODAY = date(2027, 4, 12)


def frames(*numbers):
    return [Decimal(str(number)) for number in numbers]


def test_a_yard_a_frame_below_the_middle_yard_is_weak():
    states = yard_states({1: frames(5, 5), 2: frames(5), 3: frames(4, 4)}, {}, TODAY)

    assert [states[yard].is_weak for yard in (1, 2, 3)] == [False, False, True]
    assert states[1].mean_frames == Decimal("5.0")


def test_a_yard_with_far_quarters_is_uneven():
    states = yard_states({1: frames(3, 3, 6, 6), 2: frames(4, 5, 5, 6), 3: frames(1, 9)}, {}, TODAY)

    assert [states[yard].is_uneven for yard in (1, 2, 3)] == [True, False, False]


def test_a_yard_not_looked_at_for_a_fortnight_is_overdue():
    looked_on = {1: date(2027, 3, 29), 2: date(2027, 3, 28), 3: None}

    states = yard_states({1: frames(5), 2: frames(5), 3: []}, looked_on, TODAY)

    assert [states[yard].is_overdue for yard in (1, 2, 3)] == [False, True, True]
    assert states[3].mean_frames is None
    assert states[3].is_weak is False


def test_boxes_hold_ten_frames_each_and_a_colony_twenty_at_most():
    assert [halves_held(boxes) for boxes in (1, 2, 3)] == [20, 40, 40]


def test_frames_out_below_ten_degrees_get_a_warning():
    assert cold_brood_warning(frames_out=True, temperature_c=Decimal("8.5")) == (
        "Frames were out at 8.5 °C. Below 10 °C brood chills: look from below with the boxes parted instead."
    )


def test_no_warning_without_frames_out_or_without_cold():
    assert cold_brood_warning(frames_out=False, temperature_c=Decimal(5)) == ""
    assert cold_brood_warning(frames_out=True, temperature_c=Decimal(10)) == ""
    assert cold_brood_warning(frames_out=True, temperature_c=None) == ""


@pytest.mark.parametrize(
    ("sealed_halves", "queen", "were_out"),
    [(0, "", True), (4, "", True), (None, "seen", True), (None, "spotty", True), (None, "none", False)],
)
def test_sealed_brood_and_eggs_are_seen_with_frames_out(sealed_halves, queen, were_out):
    assert frames_were_out(sealed_halves=sealed_halves, queen=queen) is were_out


def test_minutes_at_the_yard_run_from_arriving_to_leaving():
    assert minutes_between(time(9, 50), time(11, 5)) == 75
    assert minutes_between(time(9, 50), time(9, 50)) == 0
