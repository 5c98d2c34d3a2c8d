from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from django.db import transaction

from apiary_ops.business import stamps
from apiary_ops.capacity import compute, queries
from apiary_ops.capacity.models import Assumptions, WeekLimit
from apiary_ops.core.history import sign
from apiary_ops.core.versions import StaleRecord, save_changes
from apiary_ops.kernel.refusals import RuleBroken
from apiary_ops.people.models import User


class AssumptionOutOfRange(RuleBroken):
    """A value no season can have."""


class SpringsOutOfOrder(RuleBroken):
    """A late spring before the middle one, or the middle one before the early one."""


class WeekNotAMonday(RuleBroken):
    """A week named by another day."""


@dataclass(frozen=True, slots=True)
class WeekDraft:
    """What one week adds: `changes` by field name; `version` is the one the form was opened with, 0 for a new row."""

    week: date
    version: int
    changes: dict[str, Any] = field(default_factory=dict)


@transaction.atomic
def edit_assumptions(*, season_id: int, version: int, changes: dict[str, Any], actor: User) -> Assumptions:
    """Change what the season's forecasts assume. Raises AssumptionOutOfRange, SpringsOutOfOrder, StaleRecord."""
    row = Assumptions.objects.select_for_update(no_key=True).filter(season_id=season_id).first()
    row = row or Assumptions(season_id=season_id)
    _check(row, changes)
    sign(row, actor)
    if row.pk is None:
        row.save(force_insert=True)
    if save_changes(row, version, changes):
        stamps.bump(season_id, "capacity")
    return row


def _check(row: Assumptions, changes: dict[str, Any]) -> None:
    for name, value in changes.items():
        allowed = compute.assumed(name)
        if not allowed.low <= value <= allowed.high:
            words = queries.assumption_label(name)
            raise AssumptionOutOfRange(
                f"{words[0].upper()}{words[1:]} must lie between {allowed.low:g} and {allowed.high:g} {allowed.unit}."
            )
    low, middle, high = (
        changes.get(name, getattr(row, name)) for name in ("low_shift_days", "middle_shift_days", "high_shift_days")
    )
    if not low >= middle >= high:
        raise SpringsOutOfOrder(
            "A late spring runs behind the middle one, and the middle one behind the early one. Put them in that order."
        )


@transaction.atomic
def state_weeks(*, season_id: int, weeks: Sequence[WeekDraft], actor: User) -> list[WeekLimit]:
    """Say what each week adds: boxes, drawn combs, food frames, person-days, pickup places; None is not stated.

    A week about which nothing is stated gets no row. Raises WeekNotAMonday, and StaleRecord of the week that someone
    else changed meanwhile.
    """
    stored = {row.week: row for row in _locked_weeks(season_id)}
    changed = [_state_week(season_id, draft, stored.get(draft.week), actor) for draft in weeks]
    if any(changed):
        stamps.bump(season_id, "capacity")
    return list(_locked_weeks(season_id))


def _locked_weeks(season_id: int) -> Any:
    return WeekLimit.objects.select_for_update(no_key=True).filter(season_id=season_id).order_by("week")


def _state_week(season_id: int, draft: WeekDraft, row: WeekLimit | None, actor: User) -> bool:
    if draft.week.weekday():
        raise WeekNotAMonday(f"Weeks are named by their Monday, and {draft.week} is not one.")
    if row is not None:
        sign(row, actor)
        if draft.version == 0 and _differs(row, draft.changes):
            raise StaleRecord(row)
        return bool(save_changes(row, draft.version or row.version, draft.changes))
    if all(value is None for value in draft.changes.values()):
        return False
    row = WeekLimit(season_id=season_id, week=draft.week, **draft.changes)
    sign(row, actor)
    row.full_clean()
    row.save(force_insert=True)
    return True


def _differs(row: WeekLimit, changes: dict[str, Any]) -> bool:
    """Whether a row someone else wrote first says something else than a form that was opened without it."""
    return any(getattr(row, name) != value for name, value in changes.items())
