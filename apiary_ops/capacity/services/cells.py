"""Tasks to look for queen cells, asked for by the swarm watch."""

from datetime import date, timedelta

from django.db import transaction
from django.utils.translation import gettext as _

from apiary_ops.capacity import queries
from apiary_ops.people.models import User
from apiary_ops.yards import services as yards
from apiary_ops.yards.models import Task, TaskRule

ASKED_AHEAD_DAYS = 7


@transaction.atomic
def ask_for_cell_checks(*, season_id: int, today: date, actor: User | None = None) -> list[Task]:
    """Tasks to look for cells in colonies whose check falls due within a week; returns the new ones.

    A colony that waits for such a look gets no second task, and one that swarmed none. Safe to run twice. Nothing when
    the grower switched the rule off.
    """
    if not queries.asks_for_cells():
        return []
    asked = queries.cells_asked(season_id)
    due = [
        row
        for row in queries.swarm_watch(season_id, today).rows
        if row.next_check_on and row.next_check_on <= today + timedelta(days=ASKED_AHEAD_DAYS)
    ]
    return [
        yards.add_task(
            season_id=season_id,
            yard_id=row.yard_id,
            colony_id=row.colony_id,
            what=_("Look for queen cells: its boxes are full"),
            due_on=max(row.next_check_on, today),
            rule=TaskRule.Code.CELLS,
            source=f"full:{row.colony_id}:{row.next_check_on}",
            actor=actor,
        )
        for row in due
        if row.colony_id not in asked and row.next_check_on
    ]
