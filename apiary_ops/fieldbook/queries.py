"""Reads of the field book: what waits for a person, and what a phone takes along besides the yard itself."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any
from uuid import UUID

from django.db.models import QuerySet
from django.utils.translation import gettext as _

from apiary_ops.business.models import Business
from apiary_ops.kernel.refusals import RuleBroken
from apiary_ops.people.access import CREW, OFFICE, OWNER
from apiary_ops.people.models import User

from . import registry
from .compute import AS_SENT, Payload, Unreadable
from .models import Record

# Who goes to the yards and may say what was seen there.
HANDS = (CREW, OFFICE, OWNER)
TONES: dict[str, str] = {Record.State.QUESTION: "mind", Record.State.REFUSED: "broken", Record.State.LANDED: "good"}
OPEN_STATES = (Record.State.WAITING, Record.State.QUESTION, Record.State.REFUSED)


class UnknownKind(RuleBroken):
    pass


@dataclass(frozen=True, slots=True)
class Waiting:
    """A record that waits for a person, named in words."""

    record: Record
    what: str

    @property
    def why(self) -> str:
        if self.record.state == Record.State.WAITING:
            return _("What it belongs to has not landed.")
        return self.record.settled_because or self.record.words

    @property
    def state_words(self) -> str:
        return str(self.record.get_state_display())

    @property
    def tone(self) -> str:
        return TONES.get(self.record.state, "quiet")


def hands() -> QuerySet[User]:
    """Those who may observe, by name."""
    return User.objects.filter(is_active=True, role__in=HANDS).order_by("full_name", "id")


def crew(user: User) -> list[dict[str, Any]]:
    """Who may be named as present at a yard: the crew and the owner, and whoever packs."""
    rows = hands().exclude(role=OFFICE) | hands().filter(pk=user.pk)
    return [{"id": person.pk, "name": str(person)} for person in rows]


def units(business: Business) -> dict[str, str]:
    """The units in which people here read thermometers and odometers."""
    return {"temperature": business.temperature_unit, "distance": business.distance_unit}


def records() -> QuerySet[Record]:
    """Every record with who observed, sent and settled it, the latest received first."""
    rows = Record.objects.select_related("observed_by", "sent_by", "settled_by")
    return rows.order_by("-received_at", "key")


def record(key: UUID) -> QuerySet[Record]:
    """The one record of that key, or nothing."""
    return records().filter(pk=key)


def waiting(records: Iterable[Record]) -> list[Waiting]:
    """The records with what each is about: "look A1"."""
    return [Waiting(record, name_of(record)) for record in records]


def name_of(record: Record) -> str:
    """What a record is about, as far as it can be read."""
    kind = registry.kind(record.kind)
    if kind is None:
        return record.kind or _("a record of no kind")
    try:
        about = kind.about(read(record))
    except RuleBroken:
        about = ""
    return f"{kind.label} {about}".strip()


def told(record: Record) -> list[registry.Told]:
    """The facts of a record in words, beside what stands now; nothing for one that cannot be read."""
    kind = registry.kind(record.kind)
    parent = parent_of(record)
    try:
        return kind.tell(read(record), parent.result if parent else "") if kind else []
    except RuleBroken:
        return []


def address_of(record: Record) -> str:
    """The page of what a record made, or else of what it belongs to."""
    parent = parent_of(record)
    return registry.address(record.result) or registry.address(parent.result if parent else "")


def landed_as(result: str, kind: str) -> list[Record]:
    """The records of a kind that made, or agreed with, one row; the first observed first."""
    rows = Record.objects.filter(result=result, kind=kind, state=Record.State.LANDED).select_related("observed_by")
    return list(rows.order_by("observed_at", "key"))


def hanging_on(key: UUID) -> QuerySet[Record]:
    """Records that wait for this one to land, in the order they were observed."""
    return Record.objects.filter(parent=key, state=Record.State.WAITING).order_by("observed_at", "key")


def parent_of(record: Record) -> Record | None:
    """What a record hangs on, if that has arrived."""
    return Record.objects.filter(pk=record.parent).first() if record.parent else None


def read(record: Record) -> Any:
    """The facts of a record by its kind and version. Raises UnknownKind, Unreadable."""
    if AS_SENT in record.payload:
        raise Unreadable(_("It came malformed and cannot land. Type in what it says by hand, then set it aside."))
    kind = registry.kind(record.kind)
    if kind is None:
        raise UnknownKind(_("This desk does not know records of the kind “%(kind)s”.") % {"kind": record.kind})
    reader = kind.versions.get(record.payload_version)
    if reader is None:
        raise UnknownKind(
            _("This desk does not read version %(version)s of a %(kind)s yet. It is kept as it was sent.")
            % {"version": record.payload_version, "kind": kind.label}
        )
    return reader(Payload(record.payload))
