"""What may still be promised: the count of every round, what limits it, and the laws it obeys."""

from dataclasses import replace
from datetime import date, timedelta
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.sparse import csr_array
from scipy.sparse.csgraph import maximum_flow

from apiary_ops.promise.compute import (
    Kind,
    Outlook,
    Span,
    Step,
    Stock,
    last_make_up_week,
    merged,
    room_behind,
    safe_number,
    safe_numbers,
    still_to_make,
)

FIRST = Span(1, date(2027, 5, 31), date(2027, 6, 14))
SECOND = Span(2, date(2027, 6, 14), date(2027, 6, 28))
FIVE = Kind(5, 4, Fraction(84, 100))
FOUR = Kind(4, 3, Fraction(1))


def week(number: int) -> date:
    """Make-up weeks; the last one for the first round of five-frame nucs is week 1, for the second week 3."""
    return date(2027, 5, 3) + timedelta(weeks=number)


def spring(by_first: int, by_second: int, *, kind: int = 5) -> dict[tuple[int, date], int]:
    return {(kind, week(1)): by_first, (kind, week(3)): by_second}


def outlook(**changes) -> Outlook:
    standing = Outlook(rounds=(FIRST, SECOND), kinds=(FIVE,), could_make=spring(100, 150))
    return replace(standing, **changes)


def room(of: Outlook, round_key: int = 1, kind_key: int = 5) -> int:
    return safe_number(of, round_key=round_key, kind_key=kind_key).room


def test_a_nuc_for_a_round_is_made_early_enough_to_be_ready_in_its_last_week():
    assert last_make_up_week(FIRST, FIVE) == date(2027, 5, 10)
    assert last_make_up_week(FIRST, FOUR) == date(2027, 5, 17)


def test_only_nucs_with_a_laying_queen_at_sale_can_be_promised():
    assert room(outlook()) == 84


def test_a_later_round_is_served_by_all_that_can_be_made_by_then():
    assert room(outlook(), round_key=2) == 126


def test_what_is_promised_in_any_round_so_far_is_taken_off():
    promised = outlook(owed={(1, 5): 60, (2, 5): 50})

    assert room(promised, round_key=1) == 16
    assert room(promised, round_key=2) == 16


def test_a_later_rounds_shortage_limits_an_earlier_round():
    promised = outlook(owed={(2, 5): 120})

    answer = safe_number(promised, round_key=1, kind_key=5)

    assert answer.room == 6
    assert answer.limited_by == 2


def test_an_earlier_rounds_shortage_does_not_touch_a_later_round():
    promised = outlook(owed={(1, 5): 90})

    first, second = safe_numbers(promised)

    assert (first.room, first.short) == (0, 6)
    assert (second.room, second.short) == (36, 0)


def test_the_number_says_where_it_comes_from():
    answer = safe_number(
        outlook(owed={(1, 5): 30}, release_percent=50, stock=(Stock(5, date(2027, 6, 1), date(2027, 6, 11), 10),)),
        round_key=1,
        kind_key=5,
    )

    assert answer.steps == (
        Step("could make", 100),
        Step("queens that fail", -16),
        Step("not yet released", -42),
        Step("made since", 0),
        Step("other kinds", 0),
        Step("already made", 10),
        Step("promised", -30),
    )
    assert answer.room == 22


def test_nucs_made_after_the_forecast_are_not_counted_twice():
    made = outlook(
        could_make=spring(100, 100), made_since={5: 50}, stock=(Stock(5, date(2027, 6, 7), date(2027, 6, 17), 42),)
    )

    assert room(outlook(could_make=spring(100, 100))) == 84
    assert room(made) == 84


def test_a_nuc_that_keeps_until_the_first_round_ends_does_not_serve_the_second():
    early = Stock(5, date(2027, 6, 1), date(2027, 6, 11), 20)

    assert room(outlook(could_make={}, stock=(early,)), round_key=1) == 20
    assert room(outlook(could_make={}, stock=(early,)), round_key=2) == 0


def test_nucs_that_keep_shortest_go_first():
    short, long = (
        Stock(5, date(2027, 6, 1), date(2027, 6, 11), 10),
        Stock(5, date(2027, 6, 1), date(2027, 6, 20), 10),
    )

    assert still_to_make([FIRST, SECOND], [10, 10], [long, short]) == [0, 0]
    assert still_to_make([FIRST, SECOND], [12, 10], [long, short]) == [0, 2]


def test_kinds_share_the_same_bees_and_brood():
    both = outlook(kinds=(FIVE, FOUR), could_make=spring(100, 150) | {(4, week(2)): 120, (4, week(4)): 200})
    half_gone = replace(both, owed={(1, 4): 60})

    assert room(both, kind_key=5) == 84
    assert room(half_gone, kind_key=5) == 42
    assert room(half_gone, kind_key=4) == 60


def test_a_kind_nobody_can_make_in_time_leaves_no_room_for_others():
    promised = outlook(kinds=(FIVE, FOUR), owed={(1, 4): 3})

    assert [(row.round, row.kind, row.room, row.short) for row in safe_numbers(promised)] == [
        (1, 5, 0, 0),
        (1, 4, 0, 3),
        (2, 5, 0, 0),
        (2, 4, 0, 3),
    ]


def test_without_any_forecast_nothing_is_safe():
    assert room(outlook(could_make={})) == 0


def test_a_round_nobody_planned_is_refused():
    with pytest.raises(KeyError):
        safe_number(outlook(), round_key=9, kind_key=5)


def test_those_ahead_who_fit_take_their_nucs_first():
    assert room_behind(10, [4, 200, 3]) == 3
    assert room_behind(2, [4, 200, 3]) == 2


# --- Laws.

counts = st.integers(0, 40)
shelves = st.lists(
    st.builds(
        lambda kind, ready, keeps, nucs: Stock(
            kind, week(4) + timedelta(ready), week(4) + timedelta(ready + keeps), nucs
        ),
        st.sampled_from([4, 5]),
        st.integers(-7, 40),
        st.integers(7, 14),
        st.integers(1, 12),
    ),
    max_size=4,
).map(tuple)
THIRD = Span(3, date(2027, 6, 28), date(2027, 7, 19))
SPANS = (FIRST, SECOND, THIRD)
WEEKS = {5: (week(1), week(3), week(6)), 4: (week(2), week(4), week(7))}


@st.composite
def outlooks(draw) -> Outlook:
    could = {}
    for kind, weeks in WEEKS.items():
        by = 0
        for monday in weeks:
            by += draw(counts)
            could[kind, monday] = by
    owed = {(span.key, kind): draw(st.integers(0, 15)) for span in SPANS for kind in WEEKS}
    return Outlook(
        rounds=SPANS,
        kinds=(FIVE, FOUR),
        could_make=could,
        stock=draw(shelves),
        made_since={5: draw(st.integers(0, 5)), 4: 0},
        owed=owed,
        release_percent=draw(st.sampled_from([50, 65, 100])),
    )


places = st.sampled_from([(span.key, kind) for span in SPANS for kind in WEEKS])
thorough = settings(max_examples=60, deadline=None)


def most_given(spans, owed, stock) -> int:
    """Nucs on the shelf that can be given at all, found as a largest flow: an independent solver."""
    rounds, end = 1 + len(stock), 1 + len(stock) + len(spans)
    pipes = np.zeros((end + 1, end + 1), dtype=np.int32)
    for place, row in enumerate(stock):
        pipes[0, 1 + place] = row.nucs
        for number, span in enumerate(spans):
            if row.ready_on < span.ends_before and row.collect_by >= span.starts_on:
                pipes[1 + place, rounds + number] = row.nucs
    pipes[rounds:end, end] = owed
    return int(maximum_flow(csr_array(pipes), 0, end).flow_value)


def to_make(of: Outlook, kind: int, until: int) -> int:
    spans = SPANS[: until + 1]
    owed = [of.owed.get((span.key, kind), 0) for span in spans]
    return sum(owed) - most_given(spans, owed, [row for row in of.stock if row.kind == kind])


def is_kept(of: Outlook, until: int) -> bool:
    """Whether all owed up to and in the round at place `until` can be given: the counts written out once more."""
    used = Fraction(0)
    for kind in of.kinds:
        could = of.could_make[kind.key, WEEKS[kind.key][until]]
        made = of.made_since[kind.key]
        used += Fraction(made, could) if could else Fraction(min(made, 1))
        if needed := to_make(of, kind.key, until):
            sold = int(could * kind.laying_rate) * of.release_percent // 100
            if not sold:
                return False
            used += Fraction(needed, sold)
    return used <= 1


def with_more(of: Outlook, place: tuple[int, int], more: int) -> Outlook:
    return replace(of, owed={**of.owed, place: of.owed[place] + more})


@thorough
@given(outlooks(), places)
def test_promising_the_number_keeps_every_round_it_touches_and_one_more_does_not(of, place):
    answer = safe_number(of, round_key=place[0], kind_key=place[1])
    until_last = range([span.key for span in SPANS].index(place[0]), len(SPANS))

    def can_be_given(promised: Outlook) -> bool:
        return all(is_kept(promised, until) or not to_make(promised, place[1], until) for until in until_last)

    assert answer.room == 0 or can_be_given(with_more(of, place, answer.room))
    assert not can_be_given(with_more(of, place, answer.room + 1))


@thorough
@given(outlooks(), places)
def test_a_kind_is_short_in_a_round_exactly_when_nucs_it_still_needs_cannot_all_be_made(of, place):
    until = [span.key for span in SPANS].index(place[0])

    answer = safe_number(of, round_key=place[0], kind_key=place[1])

    assert (answer.short > 0) is (to_make(of, place[1], until) > 0 and not is_kept(of, until))


@thorough
@given(outlooks(), places, places, st.integers(1, 20))
def test_more_surplus_never_makes_a_smaller_number(of, place, other, more):
    kind = other[1]
    could = {key: nucs + (more if key[0] == kind else 0) for key, nucs in of.could_make.items()}

    assert room(replace(of, could_make=could), *place) >= room(of, *place)


@thorough
@given(outlooks(), places, places, st.integers(1, 20))
def test_more_promised_never_makes_a_larger_number(of, place, other, more):
    assert room(with_more(of, other, more), *place) <= room(of, *place)


@thorough
@given(outlooks(), places)
def test_the_number_is_never_negative_and_its_steps_add_up(of, place):
    answer = safe_number(of, round_key=place[0], kind_key=place[1])

    assert answer.room >= 0
    assert answer.room == max(0, sum(step.nucs for step in answer.steps))


@thorough
@given(outlooks(), places)
def test_what_has_yet_to_be_made_leaves_no_more_room_in_an_earlier_round_than_in_a_later_one(of, place):
    nothing_on_the_shelf = replace(of, stock=())

    rooms = [room(nothing_on_the_shelf, span.key, place[1]) for span in SPANS]

    assert rooms == sorted(rooms)


@thorough
@given(outlooks(), places)
def test_nucs_that_serve_the_same_rounds_may_stand_together(of, place):
    one_by_one = safe_number(of, round_key=place[0], kind_key=place[1])

    (together,) = [row for row in safe_numbers(of) if (row.round, row.kind) == place]

    assert together == one_by_one
    assert sum(row.nucs for row in merged(SPANS, of.stock)) == sum(row.nucs for row in of.stock)
