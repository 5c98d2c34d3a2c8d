"""When colonies fill up, when cells are looked for, and what a swarm takes."""

from datetime import date, timedelta

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from apiary_ops.capacity.compute import ColonyStart, Keep, Recipe, Removal, Swarm, build_up, next_check, watch

APRIL, MAY = date(2027, 4, 3), date(2027, 5, 20)
WEEKS = [date(2027, 5, 17) + timedelta(weeks=week) for week in range(3)]


def start(frames, sealed=None, boxes=2, on=APRIL):
    return ColonyStart("a", "home", frames, sealed, on, 10 * boxes)


def watched(*colonies, today=MAY, weeks=WEEKS, removed=()):
    return watch(
        colonies,
        today=today,
        until=today + timedelta(days=42),
        weeks=weeks,
        recipe=Recipe(2.5, 2),
        keep=Keep(7, 3.5),
        shifts={"middle": 0, "high": -7},
        removed=removed,
    )


def test_full_on_the_day_the_build_up_says():
    (found,) = watched(start(6.5))

    run = build_up([6.5], [np.nan], starts_on=APRIL, days=100)
    assert found.full_on == run.full_on(0)
    assert found.full_early_on < found.full_on


def test_a_colony_seen_full_is_full_from_that_day():
    assert watched(start(16, on=MAY))[0].full_on == MAY


def test_what_gave_frames_fills_up_anew():
    before = watched(start(16, on=APRIL))[0]

    after = watched(start(16, on=APRIL), removed=[Removal(0, date(2027, 5, 10), 8, 4)])[0]

    assert before.full_on == APRIL
    assert after.full_on > date(2027, 5, 10)


@pytest.mark.parametrize(
    ("checked_on", "due"),
    [(None, date(2027, 5, 10)), (date(2027, 5, 1), date(2027, 5, 10)), (date(2027, 5, 9), date(2027, 5, 17))],
)
def test_cells_are_looked_for_once_full_and_every_eight_days(checked_on, due):
    assert next_check(date(2027, 5, 10), checked_on) == due


def test_what_never_fills_is_never_due():
    assert next_check(None, APRIL) is None
    assert watched(start(1.0))[0].full_on is None


def test_a_swarm_takes_half_the_bees_and_stops_laying_for_three_weeks():
    run, swarmed = (build_up([16], [6], starts_on=MAY, days=30, swarms=swarms) for swarms in ([], [Swarm(0, MAY)]))

    assert (run.bees_frames[0, 0], swarmed.bees_frames[0, 0]) == (16, 8)
    assert swarmed.brood_frames[21, 0] == 0 < swarmed.brood_frames[24, 0]
    assert swarmed.sealed_frames[9, 0] == pytest.approx(run.sealed_frames[9, 0])


def test_a_swarm_costs_what_the_best_week_to_come_loses():
    (found,) = watched(start(16, 7, on=MAY))

    assert found.nucs > found.nucs_after_swarm >= 0
    assert found.swarm_costs == found.nucs - found.nucs_after_swarm


def test_without_weeks_to_make_nucs_in_a_swarm_costs_none():
    assert watched(start(16, 7, on=MAY), weeks=[])[0].swarm_costs == 0


def test_nothing_to_watch():
    assert watched() == ()


@given(st.lists(st.floats(2, 18), min_size=1, max_size=8))
def test_a_swarm_never_gains_nucs(strengths):
    for found in watched(*(start(frames, on=MAY) for frames in strengths)):
        assert found.nucs_after_swarm <= found.nucs + 1e-9
