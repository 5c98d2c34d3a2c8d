from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from apiary_ops.kernel.rounding import half_up, percent_of, to_cash, whole_cents

fractions = st.fractions(min_value=-(10**9), max_value=10**9, max_denominator=10**6)


def test_a_half_goes_away_from_zero():
    assert half_up(Decimal("2.5")) == 3
    assert half_up(Decimal("-2.5")) == -3
    assert half_up(Fraction(1, 2)) == 1
    assert half_up(7) == 7


def test_a_rounded_number_shows_its_places():
    assert str(half_up(Decimal("1.005"), 2)) == "1.01"
    assert str(half_up(Decimal("3"), 2)) == "3.00"
    assert str(half_up(Decimal("-0.001"), 2)) == "0.00"
    assert str(half_up(Fraction(1, 3), 4)) == "0.3333"


def test_long_numbers_lose_nothing():
    assert str(half_up(Decimal("123456789012345678901234567890.125"), 2)) == "123456789012345678901234567890.13"


@pytest.mark.parametrize("value", [0.5, True, "0.5", None])
def test_a_float_is_never_rounded(value):
    with pytest.raises(TypeError, match="Exact arithmetic takes int, Decimal or Fraction"):
        half_up(value)


@pytest.mark.parametrize("value", ["NaN", "Infinity", "-Infinity"])
def test_what_is_no_number_is_refused(value):
    with pytest.raises(ValueError, match="is not a finite number"):
        half_up(Decimal(value))


def test_cents_become_whole():
    assert whole_cents(Fraction(2, 3)) == 1
    assert whole_cents(Decimal("415.35")) == 415
    assert whole_cents(Decimal("-0.5")) == -1


def test_a_percentage_is_taken_in_whole_cents():
    assert percent_of(10_000, Decimal("5")) == 500
    assert percent_of(1_010, Decimal("9.975")) == 101
    assert percent_of(-10, Decimal("5")) == -1


def test_cash_of_a_refund_mirrors_cash_of_a_sale():
    assert to_cash(-492) == -490
    assert to_cash(-493) == -495


def test_cash_can_use_other_coins():
    assert to_cash(1_249, step=10) == 1_250
    assert to_cash(1_245, step=10) == 1_250
    assert to_cash(1_249, step=1) == 1_249


def test_a_coin_of_nothing_is_refused():
    with pytest.raises(ValueError, match="The smallest coin must be worth at least 1 cent, got 0"):
        to_cash(100, step=0)


@given(fractions, st.integers(0, 6))
def test_rounding_moves_a_value_by_half_a_step_at_most(value, places):
    step = Fraction(1, 10**places)

    rounded = Fraction(half_up(value, places))

    assert abs(rounded - value) <= step / 2
    assert (rounded / step).denominator == 1


@given(fractions)
def test_rounding_is_the_same_on_both_sides_of_zero(value):
    assert half_up(-value) == -half_up(value)


@given(st.integers(-(10**9), 10**9))
def test_cash_is_payable_and_close(cents):
    paid = to_cash(cents)

    assert paid % 5 == 0
    assert abs(paid - cents) <= 2
