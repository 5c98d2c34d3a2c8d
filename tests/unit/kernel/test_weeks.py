from datetime import date, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from apiary_ops.kernel.weeks import Week, weeks_between

days = st.dates(date(1900, 1, 1), date(2200, 12, 31))


def test_a_week_runs_from_monday_to_sunday():
    week = Week.of(date(2025, 5, 14))

    assert week.monday == date(2025, 5, 12)
    assert week.days[0] == date(2025, 5, 12)
    assert week.days[-1] == date(2025, 5, 18)
    assert len(week.days) == 7
    assert week.ends_before == date(2025, 5, 19)


def test_a_week_holds_its_sunday_and_not_the_monday_after():
    week = Week(date(2025, 5, 12))

    assert date(2025, 5, 12) in week
    assert date(2025, 5, 18) in week
    assert date(2025, 5, 19) not in week
    assert date(2025, 5, 11) not in week


def test_a_week_starts_on_no_other_day():
    with pytest.raises(ValueError, match=r"^A week starts on a Monday, and 2025-05-13 is not one\.$"):
        Week(date(2025, 5, 13))


def test_a_week_starts_on_a_date_and_not_at_an_instant():
    with pytest.raises(TypeError, match="not at an instant"):
        Week.of(datetime(2025, 5, 12, 8))  # noqa: DTZ001


def test_a_week_is_told_by_its_monday():
    assert Week(date(2025, 5, 12)).label == "week of 12 May"
    assert Week(date(2027, 6, 7)).label == "week of 7 June"


def test_a_week_is_written_with_the_year_of_its_thursday():
    assert Week.of(date(2027, 5, 10)).iso == "2027-W19"
    assert str(Week.of(date(2027, 1, 3))) == "2026-W53"


def test_weeks_are_counted_forwards_and_backwards():
    week = Week.parse("2026-W52")

    assert week + 2 == Week.parse("2027-W01")
    assert week + -1 == Week.parse("2026-W51")
    assert Week.parse("2027-W01") - week == 2
    assert week - Week.parse("2027-W01") == -2


@pytest.mark.parametrize("amount", [1.0, True, "1"])
def test_only_whole_weeks_are_added(amount):
    with pytest.raises(TypeError):
        Week.parse("2027-W19") + amount


def test_a_day_is_not_taken_from_a_week():
    with pytest.raises(TypeError):
        Week.parse("2027-W19") - date(2027, 5, 3)


@pytest.mark.parametrize("text", ["", "2027", "2027-19", "2027-W9", "2027-W00", "2027-W53", "2027-W19-1", "٢٠٢٧-W19"])
def test_a_week_that_does_not_exist_is_refused(text):
    with pytest.raises(ValueError) as refusal:
        Week.parse(text)

    assert str(refusal.value) == f"“{text}” is not a week; write it like 2027-W19."


def test_a_period_is_covered_by_its_weeks():
    weeks = weeks_between(date(2025, 5, 14), date(2025, 5, 27))

    assert [week.monday for week in weeks] == [date(2025, 5, 12), date(2025, 5, 19), date(2025, 5, 26)]


def test_a_period_that_ends_before_a_monday_leaves_that_week_out():
    weeks = weeks_between(date(2025, 5, 12), date(2025, 5, 26))

    assert [week.monday for week in weeks] == [date(2025, 5, 12), date(2025, 5, 19)]


def test_an_empty_period_has_no_weeks():
    assert weeks_between(date(2025, 5, 14), date(2025, 5, 14)) == []
    assert weeks_between(date(2025, 5, 14), date(2025, 5, 1)) == []


@given(days)
def test_a_week_is_read_as_it_is_written(day):
    week = Week.of(day)

    assert day in week
    assert Week.parse(week.iso) == week


@given(days, st.integers(-500, 500))
def test_moving_a_week_there_and_back_changes_nothing(day, number):
    week = Week.of(day)

    assert (week + number) - week == number
    assert (week + number < week) == (number < 0)


@given(days, st.integers(0, 400))
def test_every_day_of_a_period_lies_in_exactly_one_of_its_weeks(start, length):
    weeks = weeks_between(start, start + timedelta(days=length))

    assert weeks == sorted(set(weeks))
    for offset in range(length):
        assert sum(start + timedelta(days=offset) in week for week in weeks) == 1
    assert all(any(start <= day < start + timedelta(days=length) for day in week.days) for week in weeks)
