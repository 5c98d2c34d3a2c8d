"""How colonies build up in spring: daily cohorts of brood, two ages of adults, vectorised over colonies.

Frames of bees are deep frames covered on both sides. Frames of brood are deep frames filled with brood to the
stated share (`BuildUp.brood_cells_per_frame`). A row of a trajectory is the state on the morning of that day.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

import numpy as np
from numpy.typing import ArrayLike

from apiary_ops.kernel.units import BROOD_DAYS, CAPPED_DAYS, EGG_DAYS, LARVA_DAYS

from .parameters import DEFAULTS, SEALED_BY_STRENGTH, BuildUp
from .trajectory import NEVER, Booleans, Floats, Integers, Removal, Swarm, Trajectory

OPEN_DAYS = EGG_DAYS + LARVA_DAYS
LARGEST_SINGLE = 12  # frames: above this a hive has more than one brood box
LAST_LOOK_MONTH = 7
MOST_BEES_FRAMES = 60  # no colony holds more


def season_curve(day_of_year: ArrayLike, shift_days: ArrayLike = 0, parameters: BuildUp = DEFAULTS) -> Floats:
    """Eggs a day the season allows a full-grown colony, by Schmickl & Crailsheim 2007; day 1 is 1 January.

    A shift moves the spring rise only: a late spring does not make a late autumn.
    """
    p = parameters
    day = np.asarray(day_of_year, dtype=np.float64)
    rising = 1 - 1 / (1 + p.curve_x1 * np.exp(-2 * (day - np.asarray(shift_days, dtype=np.float64)) / p.curve_x2))
    falling = 1 / (1 + p.curve_x3 * np.exp(-2 * (day - p.curve_x4) / p.curve_x5))
    return np.asarray(p.queen_ceiling * (1 - np.maximum(rising, falling)), dtype=np.float32)


def assumed_sealed_frames(bees_frames: ArrayLike, day_of_year: ArrayLike, parameters: BuildUp = DEFAULTS) -> Floats:
    """Sealed brood behind a strength when nobody saw it: an assumption, common practice.

    The frames that go with the strength in late March, moved to the date with the season's laying 15 days earlier
    (the middle of sealed brood's age); never more than the cluster covers or twelve days at the queen's ceiling.
    """
    p = parameters
    bees = np.asarray(bees_frames, dtype=np.float64)
    day = np.asarray(day_of_year, dtype=np.float64)
    strengths, sealed = zip(*SEALED_BY_STRENGTH, strict=True)
    laid_before = EGG_DAYS + CAPPED_DAYS
    growth = season_curve(day - laid_before, 0, p) / season_curve(p.cover_from_day - laid_before, 0, p)
    in_season = np.interp(bees, strengths, sealed) * growth
    covered = _cover(day, 0, p) * bees * p.bees_per_frame * CAPPED_DAYS / BROOD_DAYS / p.brood_cells_per_frame
    ceiling = p.queen_ceiling * CAPPED_DAYS / p.brood_cells_per_frame
    return np.asarray(np.minimum(np.minimum(in_season, covered), ceiling), dtype=np.float32)


def build_up(
    bees_frames: ArrayLike,
    sealed_frames: ArrayLike,
    *,
    starts_on: date | Sequence[date],
    days: int,
    spring_shift_days: ArrayLike = 0,
    box_frames: ArrayLike = 20,
    removed: Sequence[Removal] = (),
    swarms: Sequence[Swarm] = (),
    parameters: BuildUp = DEFAULTS,
) -> Trajectory:
    """Run colonies from their looks for `days` days after the earliest look.

    `sealed_frames` is nan where sealed brood was not seen. `starts_on` is one date for all or a date for each; a
    colony enters on its own date. `spring_shift_days` (days late) and `box_frames` (frames in all its brood boxes)
    are one number or one for each colony: for many draws, call once per draw. Open brood at the look is taken to
    have been laid as fast as the sealed brood. A removal before a colony's look is already in the look.
    Raises ValueError for figures no colony can have.
    """
    colonies = _Colonies.from_looks(bees_frames, sealed_frames, starts_on, box_frames, parameters)
    if late := [day for day in colonies.starts_on if day.month > LAST_LOOK_MONTH]:
        raise ValueError(f"Build-up starts from a look between January and July; {late[0]} says nothing of spring.")
    return _run(colonies, days, spring_shift_days, removed, parameters, swarms)


def nuc_ready_on(
    *,
    made_up_on: date,
    bees_frames: float,
    sealed_frames: float,
    laying_on: date,
    sale_bees_frames: float,
    sale_brood_frames: float,
    box_frames: float = 5,
    within_days: int = 90,
    spring_shift_days: float = 0,
    parameters: BuildUp = DEFAULTS,
) -> date | None:
    """The first day a made-up nuc meets its sale standard, or None when not `within_days`.

    It starts with sealed brood only, so twelve days on all its brood is of its own queen, who lays from
    `laying_on`; before that it is not ready. Raises ValueError for figures no nuc can have.
    """
    given = _Colonies.from_looks([bees_frames], [sealed_frames], made_up_on, box_frames, parameters)
    nuc = replace(given, open_brood=False, laying_on=laying_on)
    run = _run(nuc, within_days, spring_shift_days, (), parameters)
    meets = (run.bees_frames[:, 0] >= sale_bees_frames) & (run.brood_frames[:, 0] >= sale_brood_frames)
    meets[:CAPPED_DAYS] = False
    return made_up_on + timedelta(days=int(meets.argmax())) if meets.any() else None


@dataclass(frozen=True)
class _Colonies:
    """What is known at each colony's look, one place per colony."""

    bees_frames: Floats
    sealed_frames: Floats
    starts_on: tuple[date, ...]
    box_frames: Floats
    open_brood: bool = True
    laying_on: date = date.min

    @classmethod
    def from_looks(
        cls, bees: ArrayLike, sealed: ArrayLike, starts_on: date | Sequence[date], boxes: ArrayLike, p: BuildUp
    ) -> "_Colonies":
        bees = np.atleast_1d(np.asarray(bees, dtype=np.float32))
        if not bees.size:
            raise ValueError("Give at least one colony to forecast.")
        seen = np.broadcast_to(np.asarray(sealed, dtype=np.float32), bees.shape)
        box_frames = np.broadcast_to(np.asarray(boxes, dtype=np.float32), bees.shape)
        dates = (starts_on,) * len(bees) if isinstance(starts_on, date) else tuple(starts_on)
        if len(dates) != len(bees):
            raise ValueError(f"Give one start date, or one for each of the {len(bees)} colonies, not {len(dates)}.")
        _refuse_outside("Frames of bees", bees, 0, MOST_BEES_FRAMES)
        _refuse_outside("Frames of sealed brood", seen[~np.isnan(seen)], 0, 20)
        _refuse_outside("Frames in the boxes", box_frames, 1, 60)
        assumed = assumed_sealed_frames(bees, [day.timetuple().tm_yday for day in dates], p)
        return cls(bees, np.where(np.isnan(seen), assumed, seen), dates, box_frames)


@dataclass
class _State:
    """Adults and brood of all colonies on one day; brood sits in a ring, one slot per day of laying."""

    overwintered: Floats
    spring_born: Floats
    ring: Floats

    @classmethod
    def empty(cls, colonies: int) -> "_State":
        none = np.zeros(colonies, dtype=np.float32)
        return cls(none.copy(), none.copy(), np.zeros((BROOD_DAYS, colonies), dtype=np.float32))

    @property
    def adults(self) -> Floats:
        return self.overwintered + self.spring_born

    def enter(self, places: Integers, looks: _Colonies, ages: Integers, old: float, p: BuildUp) -> None:
        """Put colonies in as they were seen: `old` of the adults overwintered, brood laid evenly."""
        adults = looks.bees_frames[places] * p.bees_per_frame
        self.overwintered[places] = adults * old
        self.spring_born[places] = adults * (1 - old)
        laid_a_day = looks.sealed_frames[places] * p.brood_cells_per_frame / CAPPED_DAYS
        self.ring[:, places] = np.outer((ages >= OPEN_DAYS) | looks.open_brood, laid_a_day)

    def take(self, removal: Removal, ages: Integers, p: BuildUp) -> None:
        """Take frames out, old and young bees alike, never more than is there."""
        place, sealed = removal.colony, ages >= OPEN_DAYS
        there = (self.adults[place], self.ring[sealed, place].sum())
        wanted = (removal.bees_frames * p.bees_per_frame, removal.sealed_frames * p.brood_cells_per_frame)
        left = [1 - min(1.0, want / have) if have > 0 else 0.0 for want, have in zip(wanted, there, strict=True)]
        self.overwintered[place] *= left[0]
        self.spring_born[place] *= left[0]
        self.ring[sealed, place] *= left[1]

    def swarm(self, places: Booleans) -> None:
        """Half the bees, old and young alike, leave with the queen; the brood stays."""
        self.overwintered[places] /= 2
        self.spring_born[places] /= 2

    def brood(self, ages: Integers) -> tuple[Floats, Floats]:
        """Cells with brood of all ages, and with sealed brood."""
        wanted = np.stack((np.ones(BROOD_DAYS), ages >= OPEN_DAYS)).astype(np.float32)
        every, sealed = wanted @ self.ring
        return every, sealed

    def next_day(self, eggs: Floats, ages: Integers, day: int, p: BuildUp) -> None:
        """One day on: losses, then the oldest cohort emerges and its slot takes today's eggs."""
        by_age = np.repeat(
            (p.egg_survival, p.larva_survival, p.sealed_survival), (EGG_DAYS, LARVA_DAYS, CAPPED_DAYS)
        ).astype(np.float32)
        self.ring *= by_age[ages][:, None]
        self.overwintered *= np.float32(1 - _old_loss(day, p))
        self.spring_born *= np.float32(1 - p.spring_born_loss)
        oldest = int(ages.argmax())
        self.spring_born += self.ring[oldest]
        self.ring[oldest] = eggs


def _run(
    looks: _Colonies,
    days: int,
    shift_days: ArrayLike,
    removed: Sequence[Removal],
    p: BuildUp,
    swarms: Sequence[Swarm] = (),
) -> Trajectory:
    """Advance all colonies on one calendar, from the earliest look."""
    if not 0 <= days <= 400:
        raise ValueError(f"A forecast runs for 0 to 400 days, not {days}.")
    shift = np.asarray(shift_days, dtype=np.float32)
    _refuse_outside("The spring shift in days", shift, -45, 45)
    first_on = min(looks.starts_on)
    starts = np.array([(day - first_on).days for day in looks.starts_on])
    swarm_at = np.full(len(starts), NEVER)
    swarm_at[[swarm.colony for swarm in swarms]] = [(swarm.on - first_on).days for swarm in swarms]
    state = _State.empty(len(starts))
    bees, sealed, brood = np.full((3, days + 1, len(starts)), np.nan, dtype=np.float32)
    for index in range(days + 1):
        today = first_on + timedelta(days=index)
        day = today.timetuple().tm_yday
        ages = (index - np.arange(BROOD_DAYS)) % BROOD_DAYS
        state.enter(np.flatnonzero(starts == index), looks, ages, _old_share(day, p), p)
        for removal in removed:
            if removal.on == today:
                state.take(removal, ages, p)
        state.swarm(swarm_at == index)
        every_cell, sealed_cells = state.brood(ages)
        here = starts <= index
        bees[index, here] = state.adults[here] / p.bees_per_frame
        sealed[index, here] = sealed_cells[here] / p.brood_cells_per_frame
        brood[index, here] = every_cell[here] / p.brood_cells_per_frame
        eggs = _eggs(state.adults, every_cell, looks.box_frames, day, shift, p)
        eggs[(swarm_at != NEVER) & (swarm_at <= index) & (index < swarm_at + BROOD_DAYS)] = 0
        state.next_day(eggs if today >= looks.laying_on else np.zeros_like(eggs), ages, day, p)
    return Trajectory(first_on, bees, sealed, brood, _is_full(bees, brood, looks.box_frames, p))


def _eggs(adults: Floats, brood: Floats, box_frames: Floats, day: int, shift: Floats, p: BuildUp) -> Floats:
    """Eggs laid today: the least of the season's, what the cluster can cover, and the free cells; never below 0."""
    coverable = _cover(day, shift, p) * adults
    cells = box_frames * np.float32(p.brood_share * p.brood_cells_per_frame)
    eggs = np.minimum(season_curve(day, shift, p), np.minimum(coverable, cells) - brood)
    return np.asarray(np.maximum(eggs, 0), dtype=np.float32)


def _is_full(bees: Floats, brood: Floats, box_frames: Floats, p: BuildUp) -> Booleans:
    """A single is full of brood, or of bees on every comb; more boxes are full of bees at the stated share."""
    mark = box_frames * np.float32(p.full_share)
    single = box_frames <= LARGEST_SINGLE
    return np.asarray(np.where(single, (brood >= mark) | (bees >= box_frames), bees >= mark))


def _cover(day: ArrayLike, shift: ArrayLike, p: BuildUp) -> Floats:
    """Brood cells one adult keeps warm on a day; rises with the season, late in a late spring."""
    moved = np.asarray(day, dtype=np.float32) - np.asarray(shift, dtype=np.float32)
    risen = np.interp(moved, (p.cover_from_day, p.cover_full_day), (p.cover_march, p.cover_may))
    return np.asarray(risen, dtype=np.float32)


def _old_loss(day: int, p: BuildUp) -> float:
    """Daily loss of overwintered bees: winter's until March, rising to the spring turnover's in late March."""
    return float(np.interp(day, (p.turnover_from_day, p.turnover_full_day), (p.winter_loss, p.overwintered_loss)))


def _old_share(day: int, p: BuildUp) -> float:
    """Overwintered share of the adults at a look on this day: all until late March, then fewer every day."""
    return float(np.exp(-p.old_bees_fall * max(0.0, day - p.turnover_full_day)))


def _refuse_outside(what: str, values: Floats, low: float, high: float) -> None:
    if not np.all((values >= low) & (values <= high)):
        raise ValueError(f"{what} must lie between {low:g} and {high:g}.")
