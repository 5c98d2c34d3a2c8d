"""The swarm watch against common practice of the trade; no row here has a published source."""

from datetime import date

import numpy as np
import pytest

from apiary_ops.capacity.compute import CHECK_EVERY_DAYS, DEFAULTS, Swarm, build_up

MAY = date(2027, 5, 10)


# Common practice: a single is full at about 7 to 8 frames of brood, a double at about 15 frames of bees.
def test_full_boxes():
    assert 7 <= 10 * DEFAULTS.full_share <= 8
    assert 20 * DEFAULTS.full_share == 15


@pytest.mark.parametrize(("frames", "is_full"), [(14.5, False), (15.5, True)])
def test_a_double_is_full_at_about_fifteen_frames_of_bees(frames, is_full):
    run = build_up([frames], [np.nan], starts_on=MAY, days=0)

    assert (run.full_on(0) == MAY) is is_full


# Common practice: once full, cell checks every 7 to 9 days.
def test_days_between_cell_checks():
    assert 7 <= CHECK_EVERY_DAYS <= 9


# Common practice: a swarm takes about half the bees and three to four weeks of brood.
def test_what_a_swarm_takes():
    run = build_up([16], [6], starts_on=MAY, days=35, swarms=[Swarm(0, MAY)])

    assert run.bees_frames[0, 0] == 8
    broodless = int((run.brood_frames[:, 0] == 0).sum())
    without_eggs = next(day for day in range(1, 36) if run.brood_frames[day, 0] > run.brood_frames[day - 1, 0])
    assert broodless <= 7
    assert 21 <= without_eggs <= 28


# Practice defaults, own fit (an assumption): 6.5 frames in late March are 16 on 20 May, so full shortly before.
def test_a_best_colony_of_late_march_fills_a_double_in_the_middle_of_may():
    full_on = build_up([6.5], [2.5], starts_on=date(2027, 3, 27), days=100).full_on(0)

    assert date(2027, 5, 10) <= full_on <= date(2027, 5, 24)
