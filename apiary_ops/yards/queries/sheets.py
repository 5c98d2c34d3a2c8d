"""What stands on the yard's printed sheet: each colony in walking order with its last look and its open tasks."""

from collections import defaultdict
from dataclasses import dataclass
from datetime import date

from apiary_ops.yards.models import Look, Task, Yard

from .grading import GradedColony, graded_colonies
from .work import open_tasks_of


@dataclass(frozen=True, slots=True)
class SheetRow:
    """One colony of the sheet. `look` is the last of the season; `tasks` are open, the earliest due first."""

    colony: GradedColony
    look: Look | None
    tasks: tuple[Task, ...]


def sheet_rows(yard: Yard, season_id: int, today: date) -> list[SheetRow]:
    """Every colony alive in a yard, in walking order."""
    graded = graded_colonies(season_id, today, yard_id=yard.pk)
    looks = Look.objects.filter(visit__season_id=season_id, visit__on__lte=today, colony__yard=yard)
    last = {look.colony_id: look for look in looks.select_related("visit").order_by("visit__on", "id")}
    tasks: dict[int, list[Task]] = defaultdict(list)
    for task in open_tasks_of(yard.pk, season_id):
        if task.colony_id is not None:
            tasks[task.colony_id].append(task)
    return [SheetRow(one, last.get(one.colony_id), tuple(tasks[one.colony_id])) for one in graded]
