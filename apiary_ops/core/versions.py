"""Two people on one record: the later one is told what the earlier one wrote, and loses nothing."""

from typing import Any

from django.utils.translation import gettext as _

from apiary_ops.kernel.refusals import RuleBroken

from .models import Versioned


class StaleRecord(RuleBroken):
    """The record changed after the form was opened; `current` is the row as it stands."""

    def __init__(self, current: Versioned) -> None:
        super().__init__(
            _("Someone changed this record after you opened it. Both values are shown; send again to keep yours.")
        )
        self.current = current


def save_changes(row: Versioned, version: int, changes: dict[str, Any]) -> list[str]:
    """Write `changes` to a row read under lock and raise its version; returns the names that really changed.

    Raises StaleRecord when `version`, the one the form was opened with, is no longer the row's.
    """
    if row.version != version:
        raise StaleRecord(row)
    changed = [name for name, value in changes.items() if getattr(row, name) != value]
    if changed:
        for name in changed:
            setattr(row, name, changes[name])
        row.version += 1
        row.full_clean(validate_unique=True)
        row.save(update_fields=[*changed, "version"])
    return changed
