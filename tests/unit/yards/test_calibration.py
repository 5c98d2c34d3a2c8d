"""A grower's own factors: what pairs of counts say, and when they are offered."""

from datetime import date, timedelta
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from apiary_ops.yards.compute import (
    Count,
    Factor,
    OwnFactor,
    day_pairs,
    own_factors,
    temperature_factors,
    view_factors,
)

APRIL, LONG_AGO = date(2027, 4, 3), date(2020, 1, 1)
COLDEST, WARM = Decimal(-30), Decimal(15)


def factor(view, from_c, by):
    return Factor(view, Decimal(from_c), Decimal(by), LONG_AGO)


FACTORS = (
    factor("below", -30, "1.000"),
    factor("below", 15, "0.800"),
    factor("above", -30, "0.900"),
    factor("above", 15, "0.700"),
)


def count(below=None, above=None, at=5, on=APRIL, colony=1, flying=False):
    frames = [None if one is None else Decimal(str(one)) for one in (below, above)]
    return Count(colony, on, *frames, None if at is None else Decimal(at), flying)


def days_apart(days, first, second):
    return day_pairs([count(on=APRIL, **first), count(on=APRIL + timedelta(days=days), **second)], FACTORS)


def test_two_views_of_one_minute_say_what_brings_the_one_to_the_other():
    assert view_factors([count(6, 8)], FACTORS) == {("above", COLDEST): [0.75]}
    assert view_factors([count(6, 8, at=16)], FACTORS) == {("above", WARM): [pytest.approx(0.6)]}


@pytest.mark.parametrize(
    "silent", [count(6), count(6, 10), count(1.5, 8), count(6, 8, at=None)], ids=["one", "full", "few", "no weather"]
)
def test_what_says_nothing_of_a_factor_is_left_out(silent):
    assert view_factors([silent], FACTORS) == {}


def test_a_cool_and_a_warm_day_make_a_pair():
    (pair,) = days_apart(7, {"below": 6}, {"below": 8, "at": 16})

    assert (pair.view, pair.warmer_than_c, pair.cool_first) == ("below", WARM, True)
    assert (pair.cool_frames, pair.warm_counted, pair.start_frames) == (Decimal(6), Decimal(8), Decimal(6))


def test_growth_between_the_days_is_taken_out():
    later = days_apart(7, {"below": 6}, {"below": 8, "at": 16})
    earlier = days_apart(7, {"below": 8, "at": 16}, {"below": 6})

    assert temperature_factors(later, [1.2]) == {("below", WARM): [pytest.approx(0.9)]}
    assert temperature_factors(earlier, [1.2]) == {("below", WARM): [pytest.approx(0.625)]}


def test_a_growth_that_is_not_known_says_nothing():
    assert temperature_factors(days_apart(7, {"below": 6}, {"below": 8, "at": 16}), [0.0]) == {}


@pytest.mark.parametrize(("days", "pairs"), [(1, 0), (2, 1), (21, 1), (22, 0)])
def test_days_of_a_pair_lie_2_to_21_apart(days, pairs):
    assert len(days_apart(days, {"below": 6}, {"below": 8, "at": 16})) == pairs


def test_two_cool_days_or_two_warm_ones_say_nothing_of_warmth():
    assert days_apart(7, {"below": 6}, {"below": 7}) == []
    assert days_apart(7, {"below": 6, "at": 16}, {"below": 7, "at": 18}) == []


def test_bees_that_fly_say_it_is_warm():
    factors = (*FACTORS[:1], factor("below", 10, "0.900"))
    first, second = count(6), count(7, at=5, flying=True, on=APRIL + timedelta(days=5))

    (pair,) = day_pairs([first, second], factors)

    assert pair.warmer_than_c == Decimal(10)


def test_only_looks_of_one_colony_make_a_pair():
    looks = [count(6, colony=1), count(8, at=16, colony=2, on=APRIL + timedelta(days=7))]

    assert day_pairs(looks, FACTORS) == []


def test_own_pairs_speak_by_their_median_and_their_middle_half():
    (own,) = own_factors({("below", WARM): [0.7, 0.75, 0.8, 0.95]}, FACTORS)

    assert own == OwnFactor(
        "below", WARM, Decimal("0.800"), 4, factor=Decimal("0.78"), low=Decimal("0.73"), high=Decimal("0.88")
    )
    assert own.source == "own pairs: 4, the middle half from 0.73 to 0.88"


def test_twelve_pairs_that_say_something_else_are_offered():
    def offered(pairs, says):
        return own_factors({("below", WARM): [says] * pairs}, FACTORS)[0].is_offered

    assert (offered(11, 0.75), offered(12, 0.75), offered(12, 0.80)) == (False, True, False)


def test_a_factor_only_scales_down():
    (own,) = own_factors({("below", WARM): [1.3] * 12}, FACTORS)

    assert own.factor == 1


@given(st.floats(0.5, 1.0), st.lists(st.integers(6, 18), min_size=12, max_size=40))
def test_pairs_made_with_a_factor_give_it_back(true, halves):
    counts = [count(half / 2 * true, half / 2, colony=place) for place, half in enumerate(halves)]
    told = [one for one in counts if one.frames("below") and one.frames("above")]

    found = view_factors(told, FACTORS)

    for own in own_factors(found, FACTORS):
        assert abs(float(own.factor) - true) <= 0.0051
