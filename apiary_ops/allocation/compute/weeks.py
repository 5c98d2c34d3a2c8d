"""By week and kind: what was told, what a plan gives, what becomes ready, and what is left beside it."""

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, timedelta

from apiary_ops.allocation.compute.rows import Supply, Take
from apiary_ops.kernel.weeks import Week, weeks_between


@dataclass(frozen=True, slots=True)
class WeekRow:
    """One kind in one week. `left` is below zero where the plan gives more than is alive now."""

    week: date
    kind: str
    told: int
    given: int
    becomes_ready: int
    left: int

    @property
    def label(self) -> str:
        return Week(self.week).label

    @property
    def verdict(self) -> str:
        return "covered" if self.left >= 0 else "too few"


def week_rows(
    supplies: Iterable[Supply], takes: Iterable[Take], told: Mapping[tuple[date, str], int], first_week: date
) -> list[WeekRow]:
    """A row for each week from `first_week` on and each kind with something to say, by week and kind.

    What became ready before counts in the first week. `left` counts the nucs good for the week that no take of this
    week or an earlier one has drawn, less what this week draws from supplies that are not good for it any more.
    """
    supplies = [supply for supply in supplies if supply.collect_by_week >= first_week]
    takes = [take for take in takes if take.week >= first_week]
    weeks = [supply.collect_by_week for supply in supplies] + [take.week for take in takes] + [week for week, _ in told]
    if not weeks:
        return []
    kinds = {supply.kind for supply in supplies} | {take.kind for take in takes} | {kind for _, kind in told}
    rows = [
        _row(week.monday, kind, supplies, takes, told, first_week)
        for week in weeks_between(first_week, max(weeks) + timedelta(days=1))
        for kind in sorted(kinds)
    ]
    return [row for row in rows if row.told or row.given or row.becomes_ready or row.left]


def _row(
    week: date,
    kind: str,
    supplies: list[Supply],
    takes: list[Take],
    told: Mapping[tuple[date, str], int],
    first_week: date,
) -> WeekRow:
    own = [supply for supply in supplies if supply.kind == kind]
    alive = {supply.key: supply.count for supply in own if supply.ready_week <= week <= supply.collect_by_week}
    drawn: Counter[str] = Counter()
    for take in takes:
        if take.kind == kind and take.week <= week and (take.supply_key in alive or take.week == week):
            drawn[take.supply_key] += take.quantity
    return WeekRow(
        week=week,
        kind=kind,
        told=told.get((week, kind), 0),
        given=sum(take.quantity for take in takes if take.kind == kind and take.week == week),
        becomes_ready=sum(supply.count for supply in own if max(supply.ready_week, first_week) == week),
        left=sum(alive.values()) - sum(drawn.values()),
    )
