"""What changed on a record, by whom, in words: rows for the history panel of any page."""

from collections.abc import Collection
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from django.utils.formats import date_format
from django.utils.timezone import localtime
from django.utils.translation import gettext as _

from apiary_ops.core import clock
from apiary_ops.core.days import spoken_day
from apiary_ops.kernel.money import Money

MONEY = "_cents"
HIDDEN = {"version", "search_key", "phone_key"}


@dataclass(frozen=True, slots=True)
class Change:
    label: str
    before: str
    after: str


@dataclass(frozen=True, slots=True)
class HistoryRow:
    """One version of a record, as components/_history.html shows it."""

    when: datetime
    who: str
    what: str
    changes: tuple[Change, ...] = ()

    @property
    def when_iso(self) -> str:
        return self.when.isoformat()


def sign(row: Any, actor: Any, reason: str = "") -> None:
    """Say who makes the change that the next save of `row` records, and why; None is the desk itself (a command)."""
    row._history_user = actor
    row._history_date = clock.now()
    row._change_reason = reason or None


def reasons_of(model: Any, pks: Collection[Any]) -> dict[Any, str]:
    """Why each row was last changed, as it was signed; empty where no reason was given."""
    if not pks:
        return {}
    versions = model.history.filter(id__in=pks).order_by("history_date", "history_id")
    return {pk: reason or "" for pk, reason in versions.values_list("id", "history_change_reason")}


def date_by_the_clock(*, instance: Any, history_instance: Any, **kwargs: Any) -> None:
    """Date a record of history that nobody signed by the desk's own clock, as the signed ones are."""
    if not hasattr(instance, "_history_date"):
        history_instance.history_date = clock.now()


def history_rows(record: Any, limit: int = 20, *, currency: str = "") -> list[HistoryRow]:
    """The latest changes of a record kept by simple-history, newest first; saves that changed nothing are left out.

    Money (columns ending in _cents) is shown only where the book `currency` is given: leave it out for readers who
    see no prices.
    """
    versions = list(record.history.select_related("history_user").order_by("-history_date", "-history_id")[: limit + 1])
    rows = []
    for position, version in enumerate(versions[:limit]):
        earlier = versions[position + 1] if position + 1 < len(versions) else None
        who = str(version.history_user) if version.history_user else ""
        if earlier is None:
            what = _("Recorded") if version.history_type == "+" else _("Changed")
            rows.append(HistoryRow(version.history_date, who, what))
        elif changes := _changes(version, earlier, currency):
            rows.append(HistoryRow(version.history_date, who, _("Changed"), changes))
    return rows


def _changes(version: Any, earlier: Any, currency: str) -> tuple[Change, ...]:
    delta = version.diff_against(earlier, foreign_keys_are_objs=True)
    fields = {field.name: field for field in version.instance_type._meta.fields}
    return tuple(
        Change(
            label=str(fields[change.field].verbose_name),
            before=_shown(fields[change.field], change.old, currency),
            after=_shown(fields[change.field], change.new, currency),
        )
        for change in delta.changes
        if change.field not in HIDDEN and (currency or not change.field.endswith(MONEY))
    )


def _shown(field: Any, value: Any, currency: str) -> str:
    """A stored value in the words people chose it by; nothing for nothing."""
    if value in (None, ""):
        return ""
    if field.name.endswith(MONEY):
        return str(Money(value, currency))
    if isinstance(value, bool):
        return _("yes") if value else _("no")
    if isinstance(value, datetime):
        return date_format(localtime(value), "D j M Y, H:i")
    if isinstance(value, date):
        return spoken_day(value)
    return str(dict(field.flatchoices or ()).get(value, value))
