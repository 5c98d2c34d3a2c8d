"""The record on the wire: read as far as it can be, so that what cannot be understood is still kept."""

import math
import re
from dataclasses import dataclass
from datetime import datetime
from typing import Any
from uuid import UUID

NO_DEVICE = UUID(int=0)
AS_SENT = "as_sent"  # the whole of a malformed record, in place of its payload
MOST_ID = 2**31 - 1
MOST_DEEP = 50  # values within values; no kind of record goes beyond three
_UNKEPT = re.compile(r"[\x00\ud800-\udfff]")


@dataclass(frozen=True, slots=True)
class Sent:
    """One record as a phone sent it. `trouble` says in words what is malformed; then `payload` holds the whole of it.

    `observed_at` is None when it could not be read, `key` when there is none to keep the record under.
    """

    key: UUID | None
    kind: str
    version: int
    parent: UUID | None
    device: UUID
    observed_by: int
    observed_at: datetime | None
    payload: dict[str, Any]
    trouble: str = ""
    raw: Any = None  # the whole of it, without what no database keeps


def read_record(raw: Any) -> Sent:
    """Whatever came as one record, with the first thing that is wrong with it. Never raises."""
    raw = storable(raw)
    sent: dict[str, Any] = raw if isinstance(raw, dict) else {}
    key, device = _uuid(sent.get("key")), _uuid(sent.get("device"))
    kind, payload = sent.get("kind"), sent.get("payload")
    version, observed_by = _whole(sent.get("version"), 32_767), _whole(sent.get("observed_by"), MOST_ID)
    observed_at = _instant(sent.get("observed_at"))
    parent = _uuid(sent.get("parent"))
    wrong = [
        (not isinstance(raw, dict), "A record must be named values."),
        (key is None, "“key” must be a UUID."),
        (not isinstance(kind, str) or not 0 < len(kind) <= 20, "“kind” must be a word of at most 20 letters."),
        (not version, "“version” must be a whole number from 1."),
        (device is None, "“device” must be a UUID."),
        (parent is None and sent.get("parent") is not None, "“parent” must be a UUID, or null."),
        (not observed_by, "“observed_by” must be the number of a person."),
        (observed_at is None, "“observed_at” must be an instant with its offset, such as 2027-04-03T09:30:00-03:00."),
        (not isinstance(payload, dict), "“payload” must be named values."),
    ]
    trouble = next((words for is_so, words in wrong if is_so), "")
    return Sent(
        key=key,
        kind=kind[:20] if isinstance(kind, str) else "",
        version=version,
        parent=parent,
        device=device or NO_DEVICE,
        observed_by=observed_by,
        observed_at=observed_at,
        payload=payload if isinstance(payload, dict) and not trouble else {AS_SENT: raw},
        trouble=trouble,
        raw=raw,
    )


def storable(value: Any, room: int = MOST_DEEP) -> Any:
    """The same value without what no database keeps: NUL, half a surrogate pair, endless numbers, endless nesting."""
    if isinstance(value, str):
        return _UNKEPT.sub("\N{REPLACEMENT CHARACTER}", value)
    if isinstance(value, float) and not math.isfinite(value):
        return str(value)
    if isinstance(value, list | dict) and not room:
        return "\N{HORIZONTAL ELLIPSIS}"
    if isinstance(value, list):
        return [storable(each, room - 1) for each in value]
    if isinstance(value, dict):
        return {storable(name): storable(each, room - 1) for name, each in value.items()}
    return value


def _uuid(value: Any) -> UUID | None:
    try:
        return UUID(value) if isinstance(value, str) else None
    except ValueError:
        return None


def _instant(value: Any) -> datetime | None:
    """An aware instant of this century; a phone that lost its clock is asked again."""
    try:
        instant = datetime.fromisoformat(value) if isinstance(value, str) else None
    except ValueError:
        return None
    if instant is None or instant.tzinfo is None or not 2000 < instant.year < 2100:
        return None
    return instant


def _whole(value: Any, most: int) -> int:
    """A whole number from 1; 0 for anything else."""
    is_one = isinstance(value, int) and not isinstance(value, bool) and 1 <= value <= most
    return int(value) if is_one else 0
