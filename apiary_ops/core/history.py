"""What changed on a record, by whom, in words: rows for the history panel of any page."""

from dataclasses import dataclass
from datetime import datetime
from typing import Any

HIDDEN = {"version", "search_key", "phone_key"}


@dataclass(frozen=True, slots=True)
class HistoryRow:
    when: datetime
    who: str
    changes: tuple[str, ...]


def history_rows(record: Any, limit: int = 20) -> list[HistoryRow]:
    """The latest changes of a record kept by simple-history, newest first, each change as one sentence."""
    versions = list(record.history.select_related("history_user").order_by("-history_date", "-history_id")[: limit + 1])
    rows = []
    for position, version in enumerate(versions[:limit]):
        earlier = versions[position + 1] if position + 1 < len(versions) else None
        changes = _changes(version, earlier)
        if changes:
            who = str(version.history_user) if version.history_user else ""
            rows.append(HistoryRow(version.history_date, who, changes))
    return rows


def _changes(version: Any, earlier: Any | None) -> tuple[str, ...]:
    if earlier is None:
        return ("Recorded.",) if version.history_type == "+" else ("Changed.",)
    delta = version.diff_against(earlier, foreign_keys_are_objs=True)
    labels = {field.name: str(field.verbose_name) for field in version.instance_type._meta.fields}
    return tuple(
        f"{labels.get(change.field, change.field)}: {_shown(change.old)} → {_shown(change.new)}"
        for change in delta.changes
        if change.field not in HIDDEN
    )


def _shown(value: Any) -> str:
    return "—" if value in (None, "") else str(value)
