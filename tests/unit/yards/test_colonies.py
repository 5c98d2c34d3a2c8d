"""What follows from a colony's own facts."""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from apiary_ops.yards.compute import is_within

MAY = date(2027, 5, 1)


@pytest.mark.parametrize(
    ("day", "first", "last", "said"),
    [
        (MAY, None, None, True),
        (MAY, MAY, MAY, True),
        (MAY - timedelta(1), MAY, None, False),
        (MAY, MAY, None, True),
        (MAY + timedelta(1), None, MAY, False),
        (MAY, None, MAY, True),
    ],
)
def test_both_ends_belong_to_a_stretch_of_days(day, first, last, said):
    assert is_within(day, first, last) is said


@given(st.dates(), st.dates(), st.dates())
def test_a_closed_stretch_is_what_two_open_ones_share(day, first, last):
    assert is_within(day, first, last) == (is_within(day, first, None) and is_within(day, None, last))
