"""Colonies growing through a spring: laws that hold whatever the figures."""

import subprocess
import sys
import time
from datetime import date, timedelta
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from apiary_ops.capacity import compute
from apiary_ops.capacity.compute import (
    NEVER,
    Removal,
    assumed_sealed_frames,
    build_up,
    season_curve,
)

LATE_MARCH = date(2027, 3, 27)
GRADES = {"bees_frames": [6.5, 5.2, 4.0, 2.5], "sealed_frames": [2.5, 1.5, 1.0, 0.5]}


def test_it_loads_without_django():
    root = Path(compute.__file__).parents[3]
    script = f"import sys; sys.path.insert(0, {str(root)!r}); import apiary_ops.capacity.compute; print(*sys.modules)"

    loading = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)

    assert "apiary_ops.capacity.compute.surplus" in loading.stdout.split()
    assert "django" not in loading.stdout.split()


def test_the_first_day_is_the_look():
    run = build_up(**GRADES, starts_on=LATE_MARCH, days=10)

    assert run.first_on == LATE_MARCH
    assert run.bees_frames.shape == run.sealed_frames.shape == run.brood_frames.shape == (11, 4)
    assert run.bees_frames.dtype == np.float32
    assert run.bees_frames[0] == pytest.approx(GRADES["bees_frames"])
    assert run.sealed_frames[0] == pytest.approx(GRADES["sealed_frames"])
    assert run.brood_frames[0] == pytest.approx([frames * 21 / 12 for frames in GRADES["sealed_frames"]])


@pytest.mark.parametrize("shift", [-7, 0, 7, 18])
def test_grades_keep_their_order_to_mid_may(shift):
    run = build_up(**GRADES, starts_on=LATE_MARCH, days=49, spring_shift_days=shift)

    assert (np.diff(run.bees_frames, axis=1) < 0).all()


def test_grades_keep_a_gap_in_mid_may():
    run = build_up(**GRADES, starts_on=LATE_MARCH, days=49)

    assert (np.diff(run.bees_frames[run.index_of(date(2027, 5, 15))]) < -1).all()


def test_the_same_figures_give_the_same_forecast():
    once = build_up(**GRADES, starts_on=LATE_MARCH, days=80)
    again = build_up(**GRADES, starts_on=LATE_MARCH, days=80)

    assert np.array_equal(once.bees_frames, again.bees_frames)
    assert np.array_equal(once.brood_frames, again.brood_frames)


def test_a_colony_grows_the_same_in_company_and_alone():
    together = build_up(
        **GRADES, starts_on=LATE_MARCH, days=60, spring_shift_days=[7, -7, 0, 3], box_frames=[10, 20, 20, 5]
    )

    single = build_up([4.0], [1.0], starts_on=LATE_MARCH, days=60)

    assert together.bees_frames[:, 2] == pytest.approx(single.bees_frames[:, 0], rel=1e-5)


# The echo of a gap in the brood may favour a later spring for a few days, by a tenth of a frame.
@settings(max_examples=40, deadline=None)
@given(
    bees=st.floats(1, 9),
    sealed_share=st.floats(0, 0.45),
    look=st.integers(0, 40),
    earlier=st.integers(-14, 20),
    later=st.integers(1, 14),
)
def test_a_later_spring_never_has_more_bees(bees, sealed_share, look, earlier, later):
    looked_on = LATE_MARCH + timedelta(days=look)
    both = build_up(
        [bees, bees],
        [bees * sealed_share] * 2,
        starts_on=looked_on,
        days=85 - look,
        spring_shift_days=[earlier, earlier + later],
    )

    assert (both.bees_frames[:, 1] <= both.bees_frames[:, 0] + 0.2).all()


def test_a_late_spring_costs_bees_in_may():
    both = build_up([5, 5], [1.5, 1.5], starts_on=LATE_MARCH, days=55, spring_shift_days=[0, 14])

    assert both.bees_frames[-1, 1] < both.bees_frames[-1, 0] - 1


def test_a_shift_moves_the_spring_and_not_the_autumn():
    assert season_curve(100, 10) == pytest.approx(season_curve(90, 0))
    assert season_curve(250, 10) == pytest.approx(season_curve(250, 0))


def test_colonies_enter_on_the_date_of_their_own_look():
    later_on = LATE_MARCH + timedelta(days=9)
    mixed = build_up([5, 5], [1.5, 1.5], starts_on=[LATE_MARCH, later_on], days=40)
    own = build_up([5], [1.5], starts_on=later_on, days=31)

    assert np.isnan(mixed.bees_frames[:9, 1]).all()
    assert mixed.bees_frames[9, 1] == pytest.approx(5)
    assert mixed.bees_frames[9:, 1] == pytest.approx(own.bees_frames[:, 0], rel=1e-5)
    assert mixed.brood_frames[9:, 1] == pytest.approx(own.brood_frames[:, 0], rel=1e-5)
    assert not np.isnan(mixed.bees_frames[:, 0]).any()


# The assumptions at a late look (young bees' share, open brood) agree with the engine's own course.
def test_a_forecast_taken_up_at_the_end_of_april_ends_where_it_would_have():
    whole = build_up(**GRADES, starts_on=LATE_MARCH, days=54)
    row = whole.index_of(date(2027, 4, 30))

    taken_up = build_up(whole.bees_frames[row], whole.sealed_frames[row], starts_on=date(2027, 4, 30), days=20)

    assert taken_up.bees_frames[-1] == pytest.approx(whole.bees_frames[-1], rel=0.2)


def test_a_colony_seen_in_february_does_not_dwindle_away():
    run = build_up([6], [np.nan], starts_on=date(2027, 2, 20), days=45)

    assert run.bees_frames[:, 0].min() > 4
    assert run.bees_frames[:, 0].max() < 9


def test_unknown_sealed_brood_is_assumed_from_strength():
    run = build_up([6.5, 5.2, 4.0, 2.5], [np.nan, 1.5, np.nan, np.nan], starts_on=LATE_MARCH, days=30)

    assert run.sealed_frames[0, 1] == pytest.approx(1.5)
    assert run.sealed_frames[0, 2:] == pytest.approx([1.0, 0.5], rel=1e-4)
    assert 1.5 < run.sealed_frames[0, 0] < 2.5
    assert not np.isnan(run.bees_frames).any()


def test_assumed_sealed_brood_rises_with_strength_and_season():
    strengths = np.linspace(0, 20, 81)
    march, april, june = (assumed_sealed_frames(strengths, day) for day in (70, 100, 160))

    assert (np.diff(march) >= 0).all()
    assert (march <= april).all()
    assert (april <= june).all()
    assert march[0] == 0
    assert june.max() <= 1600 * 12 / (6325 * 0.7) + 1e-5


def test_frames_taken_are_gone_and_no_more():
    split_on = date(2027, 5, 10)
    whole = build_up(**GRADES, starts_on=LATE_MARCH, days=70)
    row = whole.index_of(split_on)

    split = build_up(**GRADES, starts_on=LATE_MARCH, days=70, removed=[Removal(1, split_on, 2.25, 2.0)])

    assert np.array_equal(split.bees_frames[:row], whole.bees_frames[:row])
    assert whole.bees_frames[row, 1] - split.bees_frames[row, 1] == pytest.approx(2.25, abs=1e-4)
    assert whole.sealed_frames[row, 1] - split.sealed_frames[row, 1] == pytest.approx(2.0, abs=1e-4)
    assert whole.brood_frames[row, 1] - split.brood_frames[row, 1] == pytest.approx(2.0, abs=1e-4)
    assert np.array_equal(split.bees_frames[:, [0, 2, 3]], whole.bees_frames[:, [0, 2, 3]])


def test_a_parent_regrows_after_a_split():
    split_on = date(2027, 5, 10)

    run = build_up([6.5], [2.5], starts_on=LATE_MARCH, days=90, removed=[Removal(0, split_on, 2.25, 2.0)])

    row = run.index_of(split_on)
    assert run.sealed_frames[row + 14, 0] > run.sealed_frames[row, 0] + 1
    assert run.bees_frames[row + 30, 0] > run.bees_frames[row, 0]


def test_no_more_is_taken_than_there_is():
    run = build_up([5], [1.5], starts_on=LATE_MARCH, days=30, removed=[Removal(0, date(2027, 4, 5), 50, 50)])

    row = run.index_of(date(2027, 4, 5))
    assert run.bees_frames[row, 0] == 0
    assert run.sealed_frames[row, 0] == 0
    assert (run.bees_frames >= 0).all()


def test_a_removal_before_the_look_is_already_in_the_look():
    plain = build_up([5, 5], [1.5, 1.5], starts_on=[LATE_MARCH, date(2027, 4, 10)], days=40)

    told = build_up(
        [5, 5],
        [1.5, 1.5],
        starts_on=[LATE_MARCH, date(2027, 4, 10)],
        days=40,
        removed=[Removal(1, date(2027, 4, 5), 2, 1)],
    )

    assert np.array_equal(plain.bees_frames, told.bees_frames, equal_nan=True)


def test_brood_never_exceeds_the_combs_of_a_small_box():
    run = build_up([8], [2], starts_on=date(2027, 5, 1), days=60, box_frames=5)

    assert run.brood_frames[-1, 0] <= 5 * 0.8 + 1e-3
    assert run.brood_frames[-1, 0] > 3


def test_a_single_is_full_of_bees_before_a_double():
    run = build_up([6.5, 6.5, 2.5], [2.5, 2.5, 0.5], starts_on=LATE_MARCH, days=60, box_frames=[10, 20, 20])

    assert run.bees_frames[run.full_by[0], 0] >= 10 > run.bees_frames[run.full_by[0] - 1, 0]
    assert run.bees_frames[run.full_by[1], 1] >= 15 > run.bees_frames[run.full_by[1] - 1, 1]
    assert run.full_by[2] == NEVER
    assert run.full_on(2) is None
    assert run.full_on(0) == LATE_MARCH + timedelta(days=int(run.full_by[0]))


def test_a_single_full_of_brood_is_full_before_its_bees_cover_it():
    run = build_up([8, 8], [4.5, 4.5], starts_on=date(2027, 5, 10), days=2, box_frames=[10, 20])

    assert run.full_by[0] == 0
    assert run.full_by[1] == NEVER


@pytest.mark.parametrize(
    ("changes", "message"),
    [
        ({"bees_frames": [-1]}, "Frames of bees must lie between 0 and 60."),
        ({"bees_frames": [float("nan")]}, "Frames of bees must lie between 0 and 60."),
        ({"sealed_frames": [25]}, "Frames of sealed brood must lie between 0 and 20."),
        ({"box_frames": 0}, "Frames in the boxes must lie between 1 and 60."),
        ({"spring_shift_days": 90}, "The spring shift in days must lie between -45 and 45."),
        ({"days": -1}, "A forecast runs for 0 to 400 days, not -1."),
        ({"starts_on": [LATE_MARCH] * 2}, "Give one start date, or one for each of the 1 colonies, not 2."),
        (
            {"starts_on": date(2026, 10, 3)},
            "Build-up starts from a look between January and July; 2026-10-03 says nothing of spring.",
        ),
        ({"bees_frames": [], "sealed_frames": []}, "Give at least one colony to forecast."),
    ],
)
def test_figures_no_colony_can_have_are_refused(changes, message):
    figures = {"bees_frames": [5], "sealed_frames": [1], "starts_on": LATE_MARCH, "days": 10}

    with pytest.raises(ValueError) as refusal:
        build_up(**{**figures, **changes})

    assert str(refusal.value) == message


def test_a_removal_that_gives_is_refused():
    with pytest.raises(ValueError) as refusal:
        Removal(0, LATE_MARCH, -1, 0)

    assert str(refusal.value) == "A removal names a colony's place and takes 0 frames or more."


def test_a_day_outside_the_forecast_is_refused():
    run = build_up([5], [1], starts_on=LATE_MARCH, days=10)

    with pytest.raises(ValueError) as refusal:
        run.index_of(date(2027, 4, 7))

    assert str(refusal.value) == "2027-04-07 is outside the forecast, which runs from 2027-03-27 to 2027-04-06."


def test_two_thousand_colonies_and_three_springs_take_well_under_a_second():
    bees = np.linspace(2, 7, 2000)
    began = time.perf_counter()

    for shift in (-7, 0, 7):
        build_up(bees, np.full(2000, np.nan), starts_on=LATE_MARCH, days=90, spring_shift_days=shift)

    assert time.perf_counter() - began < 0.8
