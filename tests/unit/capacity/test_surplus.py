"""What colonies can spare: alone, pooled, and what limits it."""

from dataclasses import replace
from datetime import date, timedelta

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from apiary_ops.capacity.compute import (
    Binding,
    ColonyStart,
    Keep,
    Recipe,
    Removal,
    alone,
    binding,
    givable_brood,
    pooled,
    three_springs,
)

LATE_MARCH = date(2027, 3, 27)
WEEKS = [date(2027, 4, 26) + timedelta(weeks=week) for week in range(6)]
RULES = {"keep_brood": 3.5, "keep_bees": 7, "nuc_brood": 2, "nuc_bees": 2.25}
RECIPE, KEEP = Recipe(bees_frames=2.25, brood_frames=2), Keep(bees_frames=7, brood_frames=3.5)

frames = st.lists(st.tuples(st.floats(0, 12), st.floats(0, 20)), min_size=1, max_size=20)


def stock(*strengths, yard="home", looked_on=LATE_MARCH):
    return [
        ColonyStart(f"{yard} {place}", yard, bees, None, looked_on, 20) for place, bees in enumerate(strengths, start=1)
    ]


def test_each_colony_gives_what_its_scarcer_surplus_allows():
    nucs = alone([3.5, 5.5, 7.5, 7.5, 2], [20, 20, 20, 9.25, 20], **RULES)

    assert list(nucs) == [0, 1, 2, 1, 0]


def test_a_yard_puts_surpluses_together():
    assert list(alone([4.5, 4.5], [10, 8], **RULES)) == [0, 0]
    assert pooled([4.5, 4.5], [10, 8], **RULES) == 1


def test_a_weak_colony_takes_nothing_from_the_pool():
    assert pooled([7.5, 0], [11.5, 1], **RULES) == pooled([7.5], [11.5], **RULES) == 2


def test_floor_is_not_fooled_by_tenths():
    assert list(alone([0.3], [0.3], keep_brood=0, keep_bees=0, nuc_brood=0.1, nuc_bees=0.1)) == [3]
    assert list(alone([0.1 + 0.7], [1.1 + 2.2], keep_brood=0, keep_bees=0.3, nuc_brood=0.4, nuc_bees=1.5)) == [2]
    assert pooled([0.1] * 10, [0.1] * 10, keep_brood=0, keep_bees=0, nuc_brood=1, nuc_bees=1) == 1


@given(frames)
def test_pooling_never_makes_fewer(colonies):
    brood, bees = np.array(colonies).T

    assert alone(brood, bees, **RULES).sum() <= pooled(brood, bees, **RULES)


@given(frames, st.floats(0, 5), st.floats(0, 5))
def test_more_surplus_never_makes_fewer(colonies, more_brood, more_bees):
    brood, bees = np.array(colonies).T

    assert (alone(brood + more_brood, bees + more_bees, **RULES) >= alone(brood, bees, **RULES)).all()
    assert pooled(brood + more_brood, bees + more_bees, **RULES) >= pooled(brood, bees, **RULES)


def test_only_sealed_brood_is_given():
    counted = givable_brood([1.0, 3.0, 4.0], [6.0, 6.0, 6.0], keep_brood=3.5)

    assert list(counted) == [4.5, 6.0, 6.0]


def test_a_recipe_of_nothing_is_refused():
    with pytest.raises(ValueError) as refusal:
        Recipe(bees_frames=0, brood_frames=2)

    assert str(refusal.value) == "A nuc takes some bees and some brood: both must be above 0 frames."
    with pytest.raises(ValueError, match="A nuc takes more than 0 frames, not 0."):
        alone([5], [9], **{**RULES, "nuc_brood": 0})


def test_the_scarcest_resource_binds_and_says_what_more_of_it_adds():
    assert binding({"bees": 41, "brood": 34, "queens": 50}) == Binding("brood", 34, 7)


def test_a_tie_adds_nothing():
    assert binding({"bees": 34, "brood": 34}) == Binding("bees", 34, 0)


def test_a_single_limit_has_no_next():
    assert binding({"queens": 20}) == Binding("queens", 20, None)


def test_no_limit_at_all_is_refused():
    with pytest.raises(ValueError) as refusal:
        binding({})

    assert str(refusal.value) == "Name at least one resource to say which one limits."


def test_every_yard_week_and_spring_has_its_row():
    colonies = stock(6.5, 5.2, yard="river") + stock(5.2, 4.0, yard="hill")

    rows = three_springs(colonies, weeks=WEEKS, recipe=RECIPE, keep=KEEP)

    assert [(row.spring, row.yard, row.week) for row in rows] == [
        (spring, yard, week) for spring in ("low", "middle", "high") for yard in ("hill", "river") for week in WEEKS
    ]
    assert all(row.alone <= row.pooled == min(row.bees_limit, row.brood_limit) for row in rows)
    assert all(row.bees_limit == row.surplus_bees // 2.25 and row.brood_limit == row.surplus_brood // 2 for row in rows)
    assert max(row.pooled for row in rows) >= 2


@settings(max_examples=30, deadline=None)
@given(st.lists(st.floats(1, 9), min_size=1, max_size=25), st.integers(0, 30))
@example([2.5] * 20, 6)  # an echo of a brood gap alone would give the usual spring three nucs more than the early one
def test_a_later_spring_never_gives_more_by_the_same_date(strengths, look):
    colonies = stock(*strengths, looked_on=LATE_MARCH + timedelta(days=look))

    rows = three_springs(colonies, weeks=WEEKS, recipe=RECIPE, keep=KEEP)

    low, middle, high = rows[:6], rows[6:12], rows[12:]
    for late, usual, early in zip(low, middle, high, strict=True):
        assert late.pooled_by <= usual.pooled_by <= early.pooled_by
        assert late.alone_by <= usual.alone_by <= early.alone_by
    for earlier, later in zip(middle, middle[1:], strict=False):
        assert earlier.pooled_by <= later.pooled_by
    assert all(row.alone_by <= row.pooled_by for row in rows)


def test_a_late_spring_costs_a_yard_its_first_round():
    rows = three_springs(stock(*[6.5] * 10), weeks=[date(2027, 4, 26)], recipe=RECIPE, keep=KEEP)

    low, middle, high = (row.pooled_by for row in rows)
    assert low < middle < high


def test_a_colony_not_yet_seen_gives_nothing():
    rows = three_springs(
        stock(9.0, looked_on=date(2027, 5, 12)), weeks=WEEKS, recipe=RECIPE, keep=KEEP, shifts={"usual": 0}
    )

    assert [row.pooled > 0 for row in rows] == [False, False, True, True, True, True]


def test_a_look_after_the_last_week_gives_nothing():
    rows = three_springs(
        stock(9.0, looked_on=date(2027, 7, 1)), weeks=WEEKS, recipe=RECIPE, keep=KEEP, shifts={"usual": 0}
    )

    assert {row.pooled_by for row in rows} == {0}


def test_frames_already_taken_are_not_given_twice():
    colonies = stock(6.5, 6.5)
    before = three_springs(colonies, weeks=WEEKS[2:3], recipe=RECIPE, keep=KEEP, shifts={"usual": 0})

    after = three_springs(
        colonies,
        weeks=WEEKS[2:3],
        recipe=RECIPE,
        keep=KEEP,
        removed=[Removal(0, date(2027, 5, 16), 2.25, 2.0)],
        shifts={"usual": 0},
    )

    assert after[0].pooled == before[0].pooled - 1


def test_weeks_are_named_by_their_monday():
    with pytest.raises(ValueError) as refusal:
        three_springs(stock(5), weeks=[date(2027, 4, 27)], recipe=RECIPE, keep=KEEP)

    assert str(refusal.value) == "Weeks are named by their Monday, and 2027-04-27 is not one."


def test_no_colonies_give_no_rows():
    assert three_springs([], weeks=WEEKS, recipe=RECIPE, keep=KEEP) == ()


def test_colonies_off_together_widen_the_range_and_leave_the_middle():
    seen = stock(*[5.5] * 20)
    told = [replace(one, shared_spread=1.0) for one in seen]

    by_look, by_tally = (
        {row.spring: row.pooled_by for row in three_springs(start, weeks=WEEKS[:1], recipe=RECIPE, keep=KEEP)}
        for start in (seen, told)
    )

    assert by_tally["middle"] == by_look["middle"]
    assert by_tally["low"] < by_look["low"] < by_look["high"] < by_tally["high"]


def test_a_spread_never_makes_a_colony_less_than_nothing():
    told = [replace(one, shared_spread=3.0) for one in stock(1.0)]

    rows = three_springs(told, weeks=WEEKS, recipe=RECIPE, keep=KEEP)

    assert {row.pooled_by for row in rows if row.spring == "low"} == {0}
