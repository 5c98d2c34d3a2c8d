"""Two sides, and where a difference between them may come from."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from apiary_ops.books.compute import Posting, Slip, likely_slips, sides, without_zeros


def test_sides_are_the_debits_and_the_credits():
    assert sides([500, -200, -300, 7]) == (507, 500)
    assert sides([]) == (0, 0)


def test_postings_of_zero_move_nothing():
    bank, nothing = Posting("bank", 5), Posting("tax-due", 0)

    assert without_zeros([bank, nothing]) == [bank]


@pytest.mark.parametrize(
    ("amounts", "slips"),
    [
        ([500, -500], []),
        ([500, -400], []),
        ([500, 100, -400], [Slip("wrong side", 100)]),
        ([500, -500, -70], [Slip("left out", 70)]),
        ([530, -350], [Slip("transposed", 0)]),
        ([500, 50, -460, -90, 90], [Slip("left out", 90), Slip("transposed", 0)]),
        ([900, 450, -450], [Slip("wrong side", 450), Slip("left out", 900), Slip("transposed", 0)]),
    ],
)
def test_a_difference_points_to_its_likely_causes(amounts, slips):
    assert likely_slips(amounts) == slips


@given(st.lists(st.integers(1, 10**9), min_size=1, max_size=8), st.data())
def test_an_amount_put_on_the_wrong_side_is_always_among_the_likely_causes(amounts, data):
    right = [*amounts, -sum(amounts)]
    slipped = data.draw(st.integers(0, len(amounts) - 1))

    wrong = [-cents if place == slipped else cents for place, cents in enumerate(right)]

    assert Slip("wrong side", right[slipped]) in likely_slips(wrong)
