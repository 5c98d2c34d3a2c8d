"""The grower's rules of what makes a task of itself, and the treatments there are."""

import json
from decimal import Decimal
from typing import Any

from django.conf import settings
from django.db import transaction

from apiary_ops.core.history import sign
from apiary_ops.core.versions import save_changes
from apiary_ops.people.models import User
from apiary_ops.yards.models import TaskRule, TreatmentKind

from .days import bump_open_seasons


@transaction.atomic
def edit_task_rule(*, code: str, version: int, changes: dict[str, Any], actor: User) -> TaskRule:
    """Change when a rule makes a task, or turn it off; what stands stays until the next look. Raises StaleRecord."""
    rule = TaskRule.objects.select_for_update(no_key=True).get(code=code)
    sign(rule, actor)
    if save_changes(rule, version, changes):
        bump_open_seasons()
    return rule


@transaction.atomic
def install_task_rules() -> int:
    """Install the starting rules and treatments of fixtures/reference/; returns the rows added. Safe to run again."""
    added = 0
    for row in _reference("task_rules.json")["task_rules"]:
        values = {"days": row["days"], "most_frames": _frames(row["most_frames"]), "source": row["source"]}
        added += TaskRule.objects.get_or_create(code=row["code"], defaults=values)[1]
    for row in _reference("treatments.json")["treatments"]:
        values = row | {name: _frames(row[name]) for name in ("least_frames", "warmest_c")}
        added += TreatmentKind.objects.get_or_create(code=values.pop("code"), defaults=values)[1]
    return added


def _reference(name: str) -> dict[str, Any]:
    with open(settings.BASE_DIR / "fixtures" / "reference" / name, encoding="utf-8") as file:
        return json.load(file)  # type: ignore[no-any-return]


def _frames(text: str | None) -> Decimal | None:
    return None if text is None else Decimal(text)
