"""Ranking yards: total, stable, more work never ranks lower."""

from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from apiary_ops.yards.compute.next_yard import WEIGHTS, YardNeeds, due_kind, minutes_a_hive, rank_yards

TODAY = date(2027, 4, 12)
kinds = st.sampled_from([kind for kind in WEIGHTS if kind != "unseen"])
yards = st.lists(
    st.builds(
        YardNeeds,
        code=st.text("abcdef", min_size=1, max_size=4),
        counts=st.dictionaries(kinds, st.integers(0, 40)),
        days_since_look=st.none() | st.integers(0, 60),
        is_held=st.booleans(),
        is_shut=st.booleans(),
        km=st.integers(0, 200),
    ),
    max_size=8,
    unique_by=lambda yard: yard.code,
)


@given(yards, st.randoms(use_true_random=False))
def test_every_yard_has_one_place_whatever_the_order(found, chance):
    shuffled = list(found)
    chance.shuffle(shuffled)

    ranked = rank_yards(found)

    assert [row.rank for row in ranked] == list(range(1, len(found) + 1))
    assert rank_yards(shuffled) == ranked


@given(yards, kinds)
def test_one_thing_more_to_do_never_ranks_a_yard_lower(found, kind):
    if not found:
        return
    first = found[0]
    busier = YardNeeds(
        first.code,
        {**first.counts, kind: first.counts.get(kind, 0) + 1},
        first.days_since_look,
        first.is_held,
        first.is_shut,
        first.km,
    )

    before, after = ({row.code: row.rank for row in rank_yards([one, *found[1:]])} for one in (first, busier))

    assert after[first.code] <= before[first.code]


@pytest.mark.parametrize(
    ("rule", "due_on", "kind"),
    [
        ("cells", date(2027, 4, 11), "cells_late"),
        ("cells", date(2027, 4, 12), "cells_due"),
        ("strips", date(2027, 4, 15), "strips_due"),
        ("strips", date(2027, 4, 16), ""),
        ("patty", date(2027, 4, 1), "patties_late"),
        ("", date(2027, 4, 13), "others_due"),
        ("requeen", date(2027, 4, 11), "others_late"),
    ],
)
def test_what_a_task_is_today(rule, due_on, kind):
    assert due_kind(rule, due_on, TODAY) == kind


# Common practice: 1.5 to 3 minutes a hive.
def test_the_pace_is_the_middle_of_long_enough_visits():
    assert minutes_a_hive([]) == (Decimal(2), 0)
    assert minutes_a_hive([(10, 4), (0, 30)]) == (Decimal(2), 0)
    assert minutes_a_hive([(60, 30), (45, 30), (90, 30), (5, 1)]) == (Decimal("2.0"), 3)


def test_a_look_long_ago_weighs_as_much_as_none_at_all():
    ranked = rank_yards([YardNeeds("seen", days_since_look=90), YardNeeds("unseen")])

    assert [row.points for row in ranked] == [28, 28]
