"""What a look may hold, and what deserves a word of warning."""

from decimal import Decimal

from .strength import FRAMES_PER_BOX

MOST_FRAMES = 20  # a colony never holds more frames of bees, however many boxes it stands in
# Common practice: frames stay in below about 10 °C without need; look from below with the boxes parted instead.
FRAMES_OUT_C = Decimal(10)


def halves_held(boxes: int) -> int:
    """The most half frames that can be counted in so many boxes."""
    return 2 * min(MOST_FRAMES, boxes * FRAMES_PER_BOX)


def cold_brood_warning(*, sealed_halves: int | None, temperature_c: Decimal | None) -> str:
    """A warning when frames came out to see sealed brood in the cold; empty when there is nothing to say."""
    if sealed_halves is None or temperature_c is None or temperature_c >= FRAMES_OUT_C:
        return ""
    return (
        f"Frames were out at {temperature_c.normalize():f} °C. Below {FRAMES_OUT_C} °C brood chills: "
        "look from below with the boxes parted instead."
    )
