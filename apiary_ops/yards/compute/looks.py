"""What a look may hold, what deserves a word of warning, and how long a visit took."""

from datetime import time
from decimal import Decimal

from .strength import FRAMES_PER_BOX

MOST_FRAMES = 20  # a colony never holds more frames of bees, however many boxes it stands in
# Common practice: frames stay in below about 10 °C without need; look from below with the boxes parted instead.
FRAMES_OUT_C = Decimal(10)
SEEN_WITH_FRAMES_OUT = ("seen", "spotty")


def halves_held(boxes: int) -> int:
    """The most half frames that can be counted in so many boxes."""
    return 2 * min(MOST_FRAMES, boxes * FRAMES_PER_BOX)


def frames_were_out(*, sealed_halves: int | None, queen: str) -> bool:
    """Whether what was seen is seen only with frames lifted out: sealed brood, the queen or her eggs, spotty brood."""
    return sealed_halves is not None or queen in SEEN_WITH_FRAMES_OUT


def cold_brood_warning(*, frames_out: bool, temperature_c: Decimal | None) -> str:
    """A warning when frames came out in the cold; empty when there is nothing to say."""
    if not frames_out or temperature_c is None or temperature_c >= FRAMES_OUT_C:
        return ""
    return (
        f"Frames were out at {temperature_c.normalize():f} °C. Below {FRAMES_OUT_C} °C brood chills: "
        "look from below with the boxes parted instead."
    )


def minutes_between(arrived_at: time, left_at: time) -> int:
    """Whole minutes from one time of a day to a later one."""
    return (left_at.hour - arrived_at.hour) * 60 + left_at.minute - arrived_at.minute
