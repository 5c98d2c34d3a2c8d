"""A sheet of looks typed in at once: new ones and corrections, all or none."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any
from uuid import UUID

from django.db import transaction

from apiary_ops.core import once
from apiary_ops.people.models import User

from .days import bumping_last
from .looks import LookDraft, LooksRecorded, correct_look, record_looks


@dataclass(frozen=True, slots=True)
class LookCorrection:
    """What changes of a look that was read at a version."""

    look_id: int
    version: int
    changes: dict[str, Any]


@transaction.atomic
@bumping_last()
def record_grid(
    *,
    visit_id: int,
    looks: Sequence[LookDraft],
    corrections: Sequence[LookCorrection] = (),
    actor: User,
    once_key: UUID | None = None,
) -> LooksRecorded:
    """The looks of a sheet and the corrections on it, all or none. Raises what record_looks and correct_look raise."""
    claimed = once.claim(once_key, "grid")
    parts = [record_looks(visit_id=visit_id, looks=looks, actor=actor)] if looks else []
    for mend in sorted(corrections, key=lambda one: one.look_id):
        parts.append(correct_look(look_id=mend.look_id, version=mend.version, changes=mend.changes, actor=actor))
    once.settle(claimed, f"visit:{visit_id}")
    warnings = dict.fromkeys(words for part in parts for words in part.warnings)
    return LooksRecorded(
        looks=[look for part in parts for look in part.looks],
        warnings=tuple(warnings),
        stopped=any(part.stopped for part in parts),
    )
