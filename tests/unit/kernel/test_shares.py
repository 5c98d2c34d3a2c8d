from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from apiary_ops.kernel.shares import shares

weight = st.one_of(
    st.integers(0, 10**6),
    st.decimals(0, 10**6, places=3),
    st.fractions(0, 10**6, max_denominator=1000),
)
weights = st.lists(weight, min_size=1, max_size=12).filter(any)
totals = st.integers(-(10**9), 10**9)


def test_left_over_cents_go_to_the_largest_remainders():
    assert shares(10, [1, 2, 4]) == [1, 3, 6]


def test_of_equal_remainders_the_earlier_goes_first():
    assert shares(5, [1, 1, 1]) == [2, 2, 1]


def test_a_negative_total_is_the_mirror_of_the_positive():
    assert shares(-5, [1, 1, 1]) == [-2, -2, -1]


def test_weights_may_be_decimals_and_fractions():
    assert shares(100, [Decimal("0.5"), Fraction(1, 4), 0, Decimal("0.25")]) == [50, 25, 0, 25]


def test_one_share_takes_all():
    assert shares(999, [7]) == [999]


def test_nothing_is_shared_as_nothing():
    assert shares(0, [1, 2]) == [0, 0]


def test_a_negative_weight_is_refused():
    with pytest.raises(ValueError, match=r"^A share cannot have a negative weight\.$"):
        shares(10, [3, -1])


@pytest.mark.parametrize("weights", [[], [0, 0]])
def test_shares_without_any_weight_are_refused(weights):
    with pytest.raises(ValueError, match=r"^At least one share needs a weight above zero\.$"):
        shares(10, weights)


def test_floats_are_refused():
    with pytest.raises(TypeError, match="got float"):
        shares(10, [0.5, 0.5])
    with pytest.raises(TypeError, match="Only a whole number can be shared out, got float"):
        shares(10.0, [1, 1])


@given(totals, weights)
def test_parts_add_up_and_stay_within_one_of_the_exact_share(total, weights):
    parts = shares(total, weights)

    whole = sum(Fraction(weight) for weight in weights)
    assert sum(parts) == total
    for part, weight in zip(parts, weights, strict=True):
        assert abs(part - total * Fraction(weight) / whole) < 1


@given(totals, weights)
def test_who_weighs_nothing_gets_nothing(total, weights):
    parts = shares(total, [*weights, 0])

    assert parts[-1] == 0


@given(totals, weights, st.integers(1, 1000))
def test_only_the_ratio_of_weights_counts(total, weights, factor):
    scaled = [Fraction(weight) * factor for weight in weights]

    assert shares(total, scaled) == shares(total, weights)


@given(st.integers(0, 10**9), weights)
def test_a_heavier_weight_never_gets_less(total, weights):
    heaviest_first = sorted(weights, key=Fraction, reverse=True)

    parts = shares(total, heaviest_first)

    assert parts == sorted(parts, reverse=True)
