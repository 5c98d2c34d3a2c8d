"""What a new plan changes for a line that an older plan served: who gains, who slips, and by how much."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

GAINS, SLIPS, OTHER_KIND, STAYS, NEW, GONE = "gains", "slips", "other kind", "stays", "new", "gone"


@dataclass(frozen=True, slots=True)
class Part:
    """So many nucs of a kind in a week (its Monday)."""

    week: date
    kind: str
    quantity: int


@dataclass(frozen=True, slots=True)
class Served:
    """How a plan serves a line: its parts by week, and how many it is short."""

    parts: tuple[Part, ...]
    short: int

    @property
    def quantity(self) -> int:
        return sum(part.quantity for part in self.parts)


def served(takes: Iterable[Part], short: int) -> Served:
    """The takes of a line put together by week and kind, earliest first; which supply stands behind is left out."""
    sums: dict[tuple[date, str], int] = {}
    for take in takes:
        sums[take.week, take.kind] = sums.get((take.week, take.kind), 0) + take.quantity
    return Served(tuple(Part(week, kind, quantity) for (week, kind), quantity in sorted(sums.items())), short)


def change(before: Served | None, after: Served | None) -> str:
    """One word for what becomes of a line between two plans; None is a plan that the line is not in.

    More short or later slips; less short or earlier gains. Later is judged by the last week first, then by the sum
    over its nucs, so that one more nuc in the earlier of two weeks gains. A line that was partly collected in between
    is judged by its weeks alone.
    """
    if before is None or after is None:
        return STAYS if before is after else NEW if before is None else GONE
    if before.short != after.short:
        return SLIPS if after.short > before.short else GAINS
    then, now = _lateness(before), _lateness(after)
    if before.quantity != after.quantity:
        then, now = then[:1], now[:1]
    if then != now:
        return SLIPS if now > then else GAINS
    kinds = {part.kind for part in before.parts}, {part.kind for part in after.parts}
    return STAYS if kinds[0] == kinds[1] else OTHER_KIND


def _lateness(line: Served) -> tuple[int, ...]:
    """Sorts: the last week, then the sum of the weeks of all its nucs, in days."""
    if not line.parts:
        return ()
    return (line.parts[-1].week.toordinal(), sum(part.week.toordinal() * part.quantity for part in line.parts))
