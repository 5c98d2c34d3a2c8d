"""What a season assumes: every value in its range with its source, and the weeks that are open."""

from datetime import date

import pytest

from apiary_ops.capacity.compute import ASSUMED, assumed, is_of_this_spring, make_up_weeks


@pytest.mark.parametrize("parameter", ASSUMED, ids=lambda parameter: parameter.name)
def test_every_default_lies_in_its_range_and_names_its_source(parameter):
    assert parameter.low <= parameter.value <= parameter.high
    assert parameter.source.startswith("common practice")


def test_a_late_spring_lies_between_a_usual_and_a_bad_one():
    # Practice defaults: spring shift, usual 7 days either way, bad year 14 to 21 days late.
    assert 7 < assumed("low_shift_days").value <= 21
    assert assumed("high_shift_days").value == -7


def test_make_up_weeks_begin_with_this_week_and_end_in_midsummer():
    weeks = make_up_weeks(2027, date(2027, 6, 30))

    assert weeks == [date(2027, 6, 28), date(2027, 7, 5), date(2027, 7, 12)]


def test_before_spring_they_begin_in_march():
    assert make_up_weeks(2027, date(2026, 11, 2))[0] == date(2027, 3, 1)


def test_after_midsummer_there_are_none():
    assert make_up_weeks(2027, date(2027, 8, 1)) == []


@pytest.mark.parametrize(
    ("looked_on", "counts"),
    [
        (date(2026, 10, 3), False),
        (date(2026, 12, 31), False),
        (date(2027, 1, 1), True),
        (date(2027, 7, 31), True),
        (date(2027, 8, 1), False),
    ],
)
def test_only_a_look_of_this_spring_says_something_of_it(looked_on, counts):
    assert is_of_this_spring(looked_on, 2027) is counts
