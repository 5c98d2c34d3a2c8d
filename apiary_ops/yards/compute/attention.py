"""Which yard needs eyes: weak, uneven, or not looked at. The limits are assumptions, shown as such."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from statistics import mean, median

from apiary_ops.kernel.rounding import half_up

WEAK_BY_FRAMES = Decimal(1)  # below the median of all yards' means
UNEVEN_BY_FRAMES = Decimal(3)  # between the upper and the lower quarter of a yard's colonies
FEWEST_TO_JUDGE = 4  # colonies; fewer say nothing about evenness
LOOK_AGAIN_DAYS = 14


@dataclass(frozen=True, slots=True)
class YardState:
    """What the counts of one yard say; strengths in frames on the footing."""

    mean_frames: Decimal | None
    is_weak: bool
    is_uneven: bool
    is_overdue: bool  # colonies stand there that were not looked at lately


def yard_states(
    strengths: Mapping[int, Sequence[Decimal]], looked_on: Mapping[int, date | None], today: date
) -> dict[int, YardState]:
    """The state of each yard that has colonies.

    `strengths` lists the counted colonies by yard (an empty list for none counted); `looked_on` is the last look.
    """
    means = {yard: half_up(Decimal(mean(counted)), 1) for yard, counted in strengths.items() if counted}
    middle = median(means.values()) if means else None
    return {
        yard: YardState(
            mean_frames=means.get(yard),
            is_weak=middle is not None and yard in means and means[yard] <= middle - WEAK_BY_FRAMES,
            is_uneven=_quarters_apart(counted) >= UNEVEN_BY_FRAMES,
            is_overdue=_is_overdue(looked_on.get(yard), today),
        )
        for yard, counted in strengths.items()
    }


def _quarters_apart(counted: Sequence[Decimal]) -> Decimal:
    """The gap between the middles of the weaker and the stronger half."""
    if len(counted) < FEWEST_TO_JUDGE:
        return Decimal(0)
    ordered = sorted(counted)
    half = len(ordered) // 2
    return Decimal(median(ordered[-half:])) - Decimal(median(ordered[:half]))


def _is_overdue(last: date | None, today: date) -> bool:
    return last is None or (today - last).days > LOOK_AGAIN_DAYS
