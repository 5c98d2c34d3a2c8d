"""Laws of the work that looks make: order does not matter, and each need stands once."""

from datetime import date, timedelta

from hypothesis import given
from hypothesis import strategies as st

from apiary_ops.yards.compute import CELLS, LOWER_BOX, OPEN, PATTY, REQUEEN, Seen, WorkRule, work_from_looks

RULES = [WorkRule(LOWER_BOX, 7), WorkRule(REQUEEN, 21), WorkRule(PATTY, 7), WorkRule(CELLS, 8)]
FIRST = date(2027, 4, 1)

days = st.integers(0, 30).map(lambda number: FIRST + timedelta(days=number))
facts = st.fixed_dictionaries(
    {
        "on": days,
        "lower_box": st.sampled_from(["", "empty", "few", "spilling", "brood"]),
        "queen": st.sampled_from(["", "seen", "none", "spotty", "drones"]),
        "patty": st.sampled_from(["", "gone", "half", "plenty"]),
        "cells": st.sampled_from(["", "none", "seen", "cut", "swarmed"]),
        "lower_box_off": st.booleans(),
        "patty_given": st.booleans(),
    }
)
seasons = st.lists(facts, max_size=8).map(
    lambda rows: [Seen(look_id=place, **row) for place, row in enumerate(rows, start=1)]
)
hands = st.dictionaries(st.sampled_from([rule.code for rule in RULES]), st.lists(days, max_size=3), max_size=4)


@given(seasons, hands, st.randoms(use_true_random=False))
def test_the_order_in_which_looks_arrive_does_not_matter(looks, by_hand, chance):
    shuffled = list(looks)
    chance.shuffle(shuffled)

    assert work_from_looks(shuffled, RULES, by_hand) == work_from_looks(looks, RULES, by_hand)


@given(seasons, hands)
def test_each_need_stands_once(looks, by_hand):
    still_open = [work.rule for work in work_from_looks(looks, RULES, by_hand) if work.state == OPEN]

    assert len(still_open) == len(set(still_open))


@given(seasons, hands)
def test_a_look_makes_at_most_one_task_of_a_rule(looks, by_hand):
    made = [(work.look_id, work.rule) for work in work_from_looks(looks, RULES, by_hand)]

    assert len(made) == len(set(made))


@given(seasons, hands)
def test_nothing_is_done_before_it_was_found(looks, by_hand):
    found_on = {look.look_id: look.on for look in looks}

    for work in work_from_looks(looks, RULES, by_hand):
        assert work.done_on is None or work.done_on >= found_on[work.look_id]
        assert work.due_on >= found_on[work.look_id]
