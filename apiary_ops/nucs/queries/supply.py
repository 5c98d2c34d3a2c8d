"""What a season's nucs can supply: those ready with their true days, and those to come as counts."""

from collections import Counter
from dataclasses import dataclass
from datetime import date, timedelta

from django.db.models import Count

from apiary_ops.nucs.compute import expected_count, expected_ready_on
from apiary_ops.nucs.models import Nuc

from .holds import held_yards


@dataclass(frozen=True, slots=True)
class SupplyRow:
    """`count` nucs of one batch, kind and yard, good from `ready_on` to `collect_by`."""

    key: str
    kind_id: int
    yard_id: int
    ready_on: date
    collect_by: date
    count: int


def supply_rows(season_id: int, today: date) -> list[SupplyRow]:
    """Unheld nucs by batch: those that meet their standard with their days, the others as what may be expected.

    Of nucs not ready yet the share that still lays at sale is counted, rounded down, `weeks_to_sale` after make-up
    (after requeening, where that is later); failed ones not until they have a queen. A batch keeps one key,
    "batch:12"; where it stands in several rows, the later ones are "batch:12/2" and so on.
    """
    counts = [*_ready(season_id), *_to_come(season_id, today)]
    held = held_yards(today)
    rows = []
    part: Counter[int] = Counter()
    for batch_id, kind_id, yard_id, ready_on, keeps_days, count in sorted(counts, key=lambda row: (row[0], row[3])):
        if not count or yard_id in held:
            continue
        part[batch_id] += 1
        key = f"batch:{batch_id}" if part[batch_id] == 1 else f"batch:{batch_id}/{part[batch_id]}"
        rows.append(SupplyRow(key, kind_id, yard_id, ready_on, ready_on + timedelta(days=keeps_days), count))
    return rows


_Count = tuple[int, int, int, date, int, int]  # batch, kind, yard, ready on, keeps days, nucs


def _ready(season_id: int) -> list[_Count]:
    rows = Nuc.objects.filter(season_id=season_id, state=Nuc.State.LAYING, ready_on__isnull=False, hold_reason="")
    groups = rows.values_list("batch_id", "kind_id", "yard_id", "ready_on", "kind__keeps_days")
    return list(groups.annotate(count=Count("id")).order_by("batch_id", "yard_id", "ready_on"))


def _to_come(season_id: int, today: date) -> list[_Count]:
    waiting = (Nuc.State.MADE, Nuc.State.QUEENED, Nuc.State.LAYING)
    rows = Nuc.objects.filter(season_id=season_id, state__in=waiting, ready_on__isnull=True, hold_reason="")
    groups = rows.values_list(
        "batch_id",
        "kind_id",
        "yard_id",
        "queened_on",
        "batch__made_on",
        "batch__queen_in_on",
        "kind__weeks_to_sale",
        "kind__keeps_days",
        "kind__queen_laying_rate",
    )
    found = []
    for row in groups.annotate(count=Count("id")).order_by("batch_id", "yard_id", "queened_on"):
        batch_id, kind_id, yard_id, queened_on, made_on, first_on, weeks, keeps_days, rate, live = row
        started_on = _started_on(made_on, first_on, queened_on, today)
        ready_on = expected_ready_on(started_on, weeks, today)
        found.append((batch_id, kind_id, yard_id, ready_on, keeps_days, expected_count(live, rate)))
    return found


def _started_on(made_on: date, first_on: date | None, queened_on: date | None, today: date) -> date:
    """Make-up, the day of a later queen, or today for nucs still without one."""
    if queened_on is None:
        return max(made_on, today)
    return queened_on if first_on is not None and queened_on > first_on else made_on
