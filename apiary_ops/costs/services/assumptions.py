from typing import Any

from django.db import transaction

from apiary_ops.business.models import Season
from apiary_ops.core.history import sign
from apiary_ops.core.versions import StaleRecord, save_changes
from apiary_ops.costs.models import CostAssumptions
from apiary_ops.people.models import User


@transaction.atomic
def state_cost_assumptions(
    *, season_id: int, version: int, changes: dict[str, Any], actor: User | None
) -> CostAssumptions:
    """State what a season's margin assumes about its costs; what was never stated stands at version 1.

    Raises StaleRecord for a form opened before another save, ValidationError for a share outside 0 to 100 %.
    """
    # The season's lock: its assumptions may have no row yet, and then two people must not both write the first.
    Season.objects.select_for_update(no_key=True).get(pk=season_id)
    row = CostAssumptions.objects.select_for_update(no_key=True).filter(season_id=season_id).first()
    if row is not None:
        sign(row, actor)
        save_changes(row, version, changes)
        return row
    row = CostAssumptions(season_id=season_id, **changes)
    if version != row.version:
        raise StaleRecord(row)
    sign(row, actor)
    row.full_clean()
    # The defaults were version 1: a form opened on them is stale from here on.
    row.version += 1
    row.save()
    return row
