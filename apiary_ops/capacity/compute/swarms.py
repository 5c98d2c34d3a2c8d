"""Swarm watch: when each colony fills its boxes, when its cells are due to be looked for, what a swarm would cost."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

from .parameters import DEFAULTS, BuildUp
from .surplus import ColonyStart, Keep, Recipe, givable_on, run_spring
from .trajectory import NEVER, Integers, Removal, Swarm, Trajectory

# Common practice: cell checks every 7 to 9 days once a colony is full.
CHECK_EVERY_DAYS = 8


@dataclass(frozen=True)
class Watched:
    """When a colony is full in a middle and in an early spring, None when not within the days watched.

    `nucs` is what it could give by itself in the best week to come, in parts of a nuc; `nucs_after_swarm` the same if
    it swarmed on the day it is full, or today when it is full already.
    """

    full_on: date | None
    full_early_on: date | None
    nucs: float
    nucs_after_swarm: float

    @property
    def swarm_costs(self) -> float:
        return max(0.0, self.nucs - self.nucs_after_swarm)


def next_check(full_on: date | None, checked_on: date | None, *, every_days: int = CHECK_EVERY_DAYS) -> date | None:
    """The day cells are due to be looked for: once full, and so many days after they were last looked for."""
    if full_on is None:
        return None
    if checked_on is None:
        return full_on
    return max(full_on, checked_on + timedelta(days=every_days))


def watch(
    colonies: Sequence[ColonyStart],
    *,
    today: date,
    until: date,
    weeks: Sequence[date],
    recipe: Recipe,
    keep: Keep,
    shifts: Mapping[str, float],
    removed: Sequence[Removal] = (),
    parameters: BuildUp = DEFAULTS,
) -> tuple[Watched, ...]:
    """Each colony up to a day, in the order given; `weeks` are the Mondays in which nucs can still be made.

    A colony that gave frames is full anew from the day after. `Removal.colony` is the place in `colonies`.
    """
    if not colonies:
        return ()
    until = max(until, today, *(week + timedelta(days=6) for week in weeks), *(one.looked_on for one in colonies))
    middle = run_spring(colonies, "middle", shifts["middle"], until, removed, parameters)
    early = run_spring(colonies, "high", shifts["high"], until, removed, parameters)
    anew = _anew(middle, len(colonies), removed)
    full, full_early = middle.full_after(anew), early.full_after(anew)
    swarms = [
        Swarm(place, max(today, middle.first_on + timedelta(days=int(index))))
        for place, index in enumerate(full)
        if index != NEVER
    ]
    swarmed = run_spring(colonies, "middle", shifts["middle"], until, removed, parameters, swarms)
    ahead = [max(today, week + timedelta(days=6)) for week in weeks if week + timedelta(days=6) >= today]
    before, after = (_best(run, len(colonies), ahead, recipe, keep) for run in (middle, swarmed))
    return tuple(
        Watched(_day(middle, full[place]), _day(early, full_early[place]), float(before[place]), float(after[place]))
        for place in range(len(colonies))
    )


def _anew(run: Trajectory, colonies: int, removed: Sequence[Removal]) -> Integers:
    """The day index from which each colony's boxes are watched: the day after it last gave frames."""
    anew = np.zeros(colonies, dtype=np.int64)
    for removal in removed:
        anew[removal.colony] = max(anew[removal.colony], (removal.on - run.first_on).days + 1)
    return anew


def _best(run: Trajectory, colonies: int, days: Sequence[date], recipe: Recipe, keep: Keep) -> NDArray[np.float64]:
    """Parts of a nuc that each colony gives by itself on its best day."""
    best = np.zeros(colonies)
    for day in days:
        bees, brood = givable_on(run, range(colonies), day, keep)
        by_bees = (bees - keep.bees_frames) / recipe.bees_frames
        by_brood = (brood - keep.brood_frames) / recipe.brood_frames
        best = np.maximum(best, np.minimum(by_bees, by_brood))
    return best


def _day(run: Trajectory, index: int) -> date | None:
    return None if index == NEVER else run.first_on + timedelta(days=int(index))
