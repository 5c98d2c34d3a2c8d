"""What goes into a run of the build-up besides the looks, and what comes out of it."""

from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float32]
Integers = NDArray[np.int64]
Booleans = NDArray[np.bool_]

NEVER = -1


@dataclass(frozen=True)
class Removal:
    """Frames taken from one colony (its place in the run) on a day, after that day's look."""

    colony: int
    on: date
    bees_frames: float
    sealed_frames: float

    def __post_init__(self) -> None:
        if not (self.colony >= 0 and self.bees_frames >= 0 and self.sealed_frames >= 0):
            raise ValueError("A removal names a colony's place and takes 0 frames or more.")


@dataclass(frozen=True)
class Swarm:
    """One colony (its place in the run) swarms on a day: half the bees go, and nothing is laid for three weeks.

    Common practice: a swarm takes about half the bees and three to four weeks of brood.
    """

    colony: int
    on: date


@dataclass(frozen=True)
class Trajectory:
    """Each colony on each day, as arrays [day, colony]; nan before the colony's own look."""

    first_on: date
    bees_frames: Floats
    sealed_frames: Floats
    brood_frames: Floats
    is_full: Booleans  # its boxes are full on that day

    @property
    def full_by(self) -> Integers:
        """The day index on which each colony's boxes are first full, or `NEVER` within these days."""
        return self.full_after(np.zeros(self.is_full.shape[1], dtype=np.int64))

    def full_after(self, first: Integers) -> Integers:
        """The same, looking from a day index for each colony on: what was full and then gave frames counts anew."""
        late_enough = np.arange(len(self.is_full))[:, None] >= first
        full = self.is_full & late_enough
        return np.where(full.any(axis=0), full.argmax(axis=0), NEVER)

    def index_of(self, day: date) -> int:
        """The row of a day. Raises ValueError for a day outside the run."""
        index = (day - self.first_on).days
        if not 0 <= index < len(self.bees_frames):
            last_on = self.first_on + timedelta(days=len(self.bees_frames) - 1)
            raise ValueError(f"{day} is outside the forecast, which runs from {self.first_on} to {last_on}.")
        return index

    def full_on(self, colony: int) -> date | None:
        """The date a colony fills its boxes, or None when it does not within these days."""
        index = int(self.full_by[colony])
        return None if index == NEVER else self.first_on + timedelta(days=index)
