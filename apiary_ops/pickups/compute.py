"""Places at the gate from loading minutes and hands.

Common practice, no published source: a car with up to 4 nucs takes 8 to 10 minutes, each nuc more 1.5 minutes; two
hands load 60 to 100 nucs in a dawn session.
"""

from dataclasses import dataclass
from datetime import time
from fractions import Fraction

CAR_MINUTES = 9
NUCS_IN_A_CAR = 4
MINUTES_A_NUC_MORE = Fraction(3, 2)


@dataclass(frozen=True, slots=True)
class WindowDraft:
    """A stretch of a pickup day, half-open, with so many places: one place is one car."""

    starts_at: time
    ends_at: time
    places: int


def loading_minutes(nucs: int) -> Fraction:
    """Minutes one pair of hands needs for a car that takes `nucs`."""
    return CAR_MINUTES + MINUTES_A_NUC_MORE * max(0, nucs - NUCS_IN_A_CAR)


def suggested_places(minutes: int, hands: int, nucs_a_car: int = NUCS_IN_A_CAR) -> int:
    """Cars that `hands` people, each loading a car alone, can send off in so many minutes."""
    return int(minutes * hands / loading_minutes(nucs_a_car))


def plan_windows(
    starts_at: time, ends_at: time, *, minutes: int, hands: int, places: int | None = None
) -> tuple[WindowDraft, ...]:
    """Windows of `minutes` from `starts_at` on; the last, to `ends_at`, takes in a rest under half a window.

    Each has `places`, or as many as the hands can load. None when the day ends before it starts or `minutes` is not
    above zero.
    """
    first, last = _minute(starts_at), _minute(ends_at)
    if last <= first or minutes < 1:
        return ()
    count = max(1, (last - first + minutes // 2) // minutes)
    edges = [*(first + minutes * number for number in range(count)), last]
    return tuple(
        WindowDraft(_time(start), _time(end), suggested_places(end - start, hands) if places is None else places)
        for start, end in zip(edges, edges[1:], strict=False)
    )


def _minute(at: time) -> int:
    return at.hour * 60 + at.minute


def _time(minute: int) -> time:
    return time(*divmod(minute, 60))
