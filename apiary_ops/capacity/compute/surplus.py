"""What colonies can give to nucs beyond what they keep: alone, pooled over a yard, and what limits it.

Frames are counted in whole millionths, so a frame and a half is never a hair less than one and a half.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

import numpy as np
from numpy.typing import ArrayLike, NDArray

from .buildup import MOST_BEES_FRAMES, build_up
from .parameters import DEFAULTS, SPRING_SHIFTS, BuildUp
from .trajectory import Removal, Swarm, Trajectory

Integers = NDArray[np.int64]

# In a low spring colonies are taken at the low end of what they may be, in a high one at the high end.
STRENGTH_SIDES = {"low": -1, "high": 1}

_MILLION = 1_000_000


@dataclass(frozen=True)
class Recipe:
    """What one nuc takes on the day it is made up; frames of bees and of sealed brood."""

    bees_frames: float
    brood_frames: float

    def __post_init__(self) -> None:
        if not (self.bees_frames > 0 and self.brood_frames > 0):
            raise ValueError("A nuc takes some bees and some brood: both must be above 0 frames.")


@dataclass(frozen=True)
class Keep:
    """What a parent keeps: frames of bees, and frames of brood of all ages."""

    bees_frames: float
    brood_frames: float


@dataclass(frozen=True)
class ColonyStart:
    """One colony as it was last seen; `sealed_frames` is None when sealed brood was not seen.

    `shared_spread` is by how many frames it and its like may all be off together, one way.
    """

    key: str
    yard: str
    bees_frames: float
    sealed_frames: float | None
    looked_on: date
    box_frames: float
    shared_spread: float = 0


@dataclass(frozen=True)
class Binding:
    """The resource that limits, the nucs it allows, and the nucs that more of it would add before another limits.

    `adds` is None when nothing else limits.
    """

    resource: str
    nucs: int
    adds: int | None


@dataclass(frozen=True)
class YardWeek:
    """Nucs one yard could give if all were made in one week of one spring, and by the end of that week at best.

    `surplus_bees` and `surplus_brood` are the pooled frames above the keep on the week's Sunday; `bees_limit` and
    `brood_limit` are the nucs that either of them alone would allow.
    """

    yard: str
    week: date
    spring: str
    alone: int
    pooled: int
    surplus_bees: float
    surplus_brood: float
    bees_limit: int
    brood_limit: int
    alone_by: int
    pooled_by: int


def alone(
    brood: ArrayLike, bees: ArrayLike, *, keep_brood: float, keep_bees: float, nuc_brood: float, nuc_bees: float
) -> Integers:
    """Nucs each colony gives by itself: floor(min((brood - keep)/b, (bees - keep)/a)), never below 0."""
    by_brood = _surplus(brood, keep_brood) // _portion(nuc_brood)
    by_bees = _surplus(bees, keep_bees) // _portion(nuc_bees)
    return np.minimum(by_brood, by_bees)


def pooled(
    brood: ArrayLike, bees: ArrayLike, *, keep_brood: float, keep_bees: float, nuc_brood: float, nuc_bees: float
) -> int:
    """Nucs of one yard and frame size together: floor(min(sum of surplus brood / b, sum of surplus bees / a))."""
    by_brood = _surplus(brood, keep_brood).sum() // _portion(nuc_brood)
    by_bees = _surplus(bees, keep_bees).sum() // _portion(nuc_bees)
    return int(min(by_brood, by_bees))


def givable_brood(sealed: ArrayLike, brood: ArrayLike, *, keep_brood: float) -> NDArray[np.float64]:
    """Brood to count for a colony, so that what exceeds the keep is sealed: open brood stays with the queen."""
    sealed_and_kept = np.asarray(sealed, dtype=np.float64) + keep_brood
    return np.minimum(np.asarray(brood, dtype=np.float64), sealed_and_kept)


def binding(limits: Mapping[str, int]) -> Binding:
    """The resource that limits most, first named first on a tie. Raises ValueError without any limit."""
    if not limits:
        raise ValueError("Name at least one resource to say which one limits.")
    ranked = sorted(limits, key=lambda name: limits[name])
    least = limits[ranked[0]]
    return Binding(ranked[0], least, limits[ranked[1]] - least if len(ranked) > 1 else None)


def three_springs(
    colonies: Sequence[ColonyStart],
    *,
    weeks: Sequence[date],
    recipe: Recipe,
    keep: Keep,
    removed: Sequence[Removal] = (),
    shifts: Mapping[str, float] | None = None,
    parameters: BuildUp = DEFAULTS,
) -> tuple[YardWeek, ...]:
    """Nucs per yard and week in a low, a middle and a high spring, in the order spring, yard, week.

    `weeks` are Mondays; a week counts as its Sunday. A colony gives once: "by" figures are the best single week up
    to that one, not a sum, and a later spring is never credited with more of them than an earlier one. A colony not
    yet seen by a week gives nothing in it. A low spring also takes each colony at its strength less the shared spread,
    a high one at as much more. `Removal.colony` is the place in `colonies`. `shifts` are days late by
    name of the spring; the default is the usual year of common practice.
    Raises ValueError for a week that is no Monday and for figures no colony can have.
    """
    for week in weeks:
        if week.weekday() != 0:
            raise ValueError(f"Weeks are named by their Monday, and {week} is not one.")
    if not colonies or not weeks:
        return ()
    ordered = sorted(set(weeks))
    springs = dict(shifts) if shifts is not None else {row.name: row.value for row in SPRING_SHIFTS}
    by_spring: dict[str, list[YardWeek]] = {}
    for spring in sorted(springs, key=lambda name: springs[name]):
        trajectory = run_spring(colonies, spring, springs[spring], _sunday(ordered[-1]), removed, parameters)
        by_spring[spring] = [
            row
            for yard, places in _places_by_yard(colonies).items()
            for row in _yard_weeks(yard, spring, trajectory, places, ordered, recipe, keep)
        ]
    _hold_to_earlier_springs(by_spring)
    return tuple(row for spring in springs for row in by_spring[spring])


def _hold_to_earlier_springs(by_spring: dict[str, list[YardWeek]]) -> None:
    """Lower the "by" figures to those of the spring before; the springs come earliest first.

    A gap in the brood echoes three weeks on, and gives some weak colonies a few tenths of a frame more brood for days.
    """
    names = list(by_spring)
    for earlier, later in zip(names, names[1:], strict=False):
        by_spring[later] = [
            replace(row, alone_by=min(row.alone_by, best.alone_by), pooled_by=min(row.pooled_by, best.pooled_by))
            for row, best in zip(by_spring[later], by_spring[earlier], strict=True)
        ]


def _starts(colonies: Sequence[ColonyStart], side: int) -> list[ColonyStart]:
    """Colonies at one end of what they may be: -1 the low, 1 the high, 0 as they were seen."""
    return [
        replace(one, bees_frames=min(max(one.bees_frames + side * one.shared_spread, 0), MOST_BEES_FRAMES))
        if side and one.shared_spread
        else one
        for one in colonies
    ]


def _places_by_yard(colonies: Sequence[ColonyStart]) -> dict[str, list[int]]:
    places: dict[str, list[int]] = {}
    for place, colony in enumerate(colonies):
        places.setdefault(colony.yard, []).append(place)
    return dict(sorted(places.items()))


def run_spring(
    colonies: Sequence[ColonyStart],
    spring: str,
    shift: float,
    until: date,
    removed: Sequence[Removal] = (),
    parameters: BuildUp = DEFAULTS,
    swarms: Sequence[Swarm] = (),
) -> Trajectory:
    """Colonies up to a day, in a spring so many days late; its name decides at which end of their spread they start."""
    starts = _starts(colonies, STRENGTH_SIDES.get(spring, 0))
    starts_on = [colony.looked_on for colony in starts]
    return build_up(
        [colony.bees_frames for colony in starts],
        [np.nan if colony.sealed_frames is None else colony.sealed_frames for colony in starts],
        starts_on=starts_on,
        days=max(0, (until - min(starts_on)).days),
        spring_shift_days=shift,
        box_frames=[colony.box_frames for colony in starts],
        removed=removed,
        swarms=swarms,
        parameters=parameters,
    )


def _yard_weeks(
    yard: str,
    spring: str,
    trajectory: Trajectory,
    places: Sequence[int],
    weeks: Sequence[date],
    recipe: Recipe,
    keep: Keep,
) -> list[YardWeek]:
    rows: list[YardWeek] = []
    alone_by = pooled_by = 0
    for week in weeks:
        bees, brood = givable_on(trajectory, places, _sunday(week), keep)
        each = alone(
            brood,
            bees,
            keep_brood=keep.brood_frames,
            keep_bees=keep.bees_frames,
            nuc_brood=recipe.brood_frames,
            nuc_bees=recipe.bees_frames,
        )
        surplus_bees = int(_surplus(bees, keep.bees_frames).sum())
        surplus_brood = int(_surplus(brood, keep.brood_frames).sum())
        bees_limit = surplus_bees // _portion(recipe.bees_frames)
        brood_limit = surplus_brood // _portion(recipe.brood_frames)
        by_themselves, together = int(each.sum()), min(bees_limit, brood_limit)
        alone_by, pooled_by = max(alone_by, by_themselves), max(pooled_by, together)
        rows.append(
            YardWeek(
                yard=yard,
                week=week,
                spring=spring,
                alone=by_themselves,
                pooled=together,
                surplus_bees=surplus_bees / _MILLION,
                surplus_brood=surplus_brood / _MILLION,
                bees_limit=bees_limit,
                brood_limit=brood_limit,
                alone_by=alone_by,
                pooled_by=pooled_by,
            )
        )
    return rows


def givable_on(
    trajectory: Trajectory, places: Sequence[int], day: date, keep: Keep
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Bees and brood to count on a day; nothing of a colony that has not been seen yet."""
    if day < trajectory.first_on:
        return np.zeros(len(places)), np.zeros(len(places))
    index = trajectory.index_of(day)
    bees, sealed, brood = (
        np.nan_to_num(rows[index, places].astype(np.float64))
        for rows in (trajectory.bees_frames, trajectory.sealed_frames, trajectory.brood_frames)
    )
    return bees, givable_brood(sealed, brood, keep_brood=keep.brood_frames)


def _sunday(week: date) -> date:
    return week + timedelta(days=6)


def _surplus(frames: ArrayLike, keep: float) -> Integers:
    """Whole millionths of a frame above the keep, never below 0."""
    millionths = np.rint(np.asarray(frames, dtype=np.float64) * _MILLION).astype(np.int64)
    return np.maximum(millionths - round(keep * _MILLION), 0)


def _portion(frames: float) -> int:
    """Whole millionths of a frame that one nuc takes. Raises ValueError unless that is something."""
    portion = round(frames * _MILLION)
    if portion <= 0:
        raise ValueError(f"A nuc takes more than 0 frames, not {frames:g}.")
    return portion
