"""Weeks against ISO 8601: Monday first, week 1 holds 4 January."""

from datetime import date, timedelta

import pytest

from apiary_ops.kernel.weeks import Week


# Published conversions for 1977-1979, 2006-12-31 and 2013-2015; the others calculated.
@pytest.mark.parametrize(
    ("day", "iso", "place"),
    [
        ("1977-01-01", "1976-W53", 6),
        ("1977-01-02", "1976-W53", 7),
        ("1978-01-01", "1977-W52", 7),
        ("1978-01-02", "1978-W01", 1),
        ("2006-12-31", "2006-W52", 7),
        ("2010-01-03", "2009-W53", 7),
        ("2012-12-31", "2013-W01", 1),
        ("2013-12-30", "2014-W01", 1),
        ("2014-12-29", "2015-W01", 1),
        ("2020-12-31", "2020-W53", 4),
        ("2021-01-03", "2020-W53", 7),
        ("2021-01-04", "2021-W01", 1),
        ("2022-12-31", "2022-W52", 6),
        ("2024-12-30", "2025-W01", 1),
        ("2025-12-29", "2026-W01", 1),
        ("2026-12-31", "2026-W53", 4),
        ("2027-01-03", "2026-W53", 7),
        ("2027-01-04", "2027-W01", 1),
    ],
)
def test_a_day_near_new_year_lies_in_its_iso_week(day, iso, place):
    week = Week.of(date.fromisoformat(day))

    assert week.iso == iso
    assert week.days[place - 1] == date.fromisoformat(day)
    assert Week.parse(iso) == week


# ISO 8601: a year has 53 weeks when it has 53 Thursdays; the list is calculated.
def test_years_of_fifty_three_weeks():
    long_years = [year for year in range(2001, 2049) if Week.parse(f"{year}-W52") + 2 == Week.parse(f"{year + 1}-W01")]

    assert long_years == [2004, 2009, 2015, 2020, 2026, 2032, 2037, 2043, 2048]


# ISO 8601, definition of the first week.
def test_week_one_holds_the_fourth_of_january():
    for year in range(1980, 2060):
        first = Week.parse(f"{year}-W01")

        assert date(year, 1, 4) in first
        assert (first.monday + timedelta(days=3)).year == year
