"""Amounts per nuc, break-even and the bars of the waterfall."""

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from apiary_ops.margin.compute import (
    Bar,
    Margin,
    PerNuc,
    Step,
    break_even,
    leverage,
    margin_of_safety,
    per_nuc,
    rounded_per_nuc,
    waterfall,
)


def margin(nucs, sales, *steps):
    classes = ("direct", "direct", "bees", "pooled")
    return Margin("spring-5", nucs, sales, tuple(Step(f"step-{n}", classes[n], cents) for n, cents in enumerate(steps)))


def test_a_cost_per_nuc_is_rounded_half_up():
    assert per_nuc(100_00, 3) == 33_33
    assert per_nuc(25, 2) == 13
    assert per_nuc(-25, 2) == -13


def test_no_nucs_have_no_cost_each():
    assert per_nuc(100_00, 0) is None
    assert rounded_per_nuc(margin(0, 0, 0, 0, 0, 0)) is None


def test_steps_per_nuc_add_up_to_the_way_from_price_to_margin():
    # 100.00 a nuc exactly; three costs of 33.333... each, and the fourth of nothing.
    season = margin(3, 300_00, 100_00, 100_00, 99_99, 0)

    assert rounded_per_nuc(season) == PerNuc(100_00, (33_34, 33_33), (33_33, 0))


def test_a_loss_of_half_a_cent_is_taken_by_what_is_left():
    # 0.005 less 0.01 leaves -0.005: the price rounds up, the cost is exact.
    assert rounded_per_nuc(margin(2, 1, 2, 0, 0, 0)) == PerNuc(1, (1, 0), (0, 0))


AMOUNTS = st.integers(-1_000_00, 1_000_000_00)


@given(st.integers(1, 2000), st.integers(0, 600_000_00), st.lists(AMOUNTS, min_size=4, max_size=4))
def test_rounding_per_nuc_moves_no_amount_by_a_cent_and_keeps_the_sum(nucs, sales, amounts):
    exact = margin(nucs, sales, *amounts)

    rounded = rounded_per_nuc(exact)

    pairs = [(rounded.price_cents, sales), (rounded.margin_cents, exact.margin_cents)]
    pairs += [(each, amount) for each, amount in zip((*rounded.direct, *rounded.fixed), amounts, strict=True)]
    assert all(abs(each - Fraction(amount, nucs)) < 1 for each, amount in pairs)


def test_break_even_rounds_up_to_a_whole_nuc():
    assert break_even(1000_01, 100_00, 1) == 11
    assert break_even(1000_00, 100_00, 1) == 10


def test_without_fixed_cost_no_nuc_is_needed():
    assert break_even(0, 100_00, 1) == 0


@pytest.mark.parametrize(("contribution", "nucs"), [(0, 5), (-1, 5), (100_00, 0)])
def test_nucs_that_contribute_nothing_never_break_even(contribution, nucs):
    assert break_even(1000_00, contribution, nucs) is None


def test_no_break_even_means_no_margin_of_safety():
    assert margin_of_safety(12, None) is None


@pytest.mark.parametrize("margin_cents", [0, -1])
def test_a_loss_has_no_leverage(margin_cents):
    assert leverage(100_00, margin_cents) is None


def test_leverage_is_one_without_fixed_cost():
    assert leverage(100_00, 100_00) == Decimal("1.00")


def test_bars_fall_from_the_price_to_what_is_left():
    picture = waterfall(100, [60], [20])

    assert picture.price == Bar(Fraction(0), Fraction(1))
    assert picture.direct == (Bar(Fraction(2, 5), Fraction(1)),)
    assert picture.contribution == Bar(Fraction(0), Fraction(2, 5))
    assert picture.fixed == (Bar(Fraction(1, 5), Fraction(2, 5)),)
    assert picture.margin == Bar(Fraction(0), Fraction(1, 5))


def test_a_loss_stands_below_zero_on_the_same_scale():
    picture = waterfall(100, [], [150])

    assert picture.price == Bar(Fraction(1, 3), Fraction(1))
    assert picture.fixed == (Bar(Fraction(0), Fraction(1)),)
    assert picture.margin == Bar(Fraction(0), Fraction(1, 3))


def test_nothing_sold_draws_no_bars():
    picture = waterfall(0, [0], [0])

    assert {picture.price.length, picture.direct[0].length, picture.fixed[0].length, picture.margin.length} == {0}
