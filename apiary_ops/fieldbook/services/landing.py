"""Landing: each record of a phone in its own transaction, once by its key, in whatever order they come."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any
from uuid import UUID

from django.core.exceptions import ValidationError
from django.db import DataError, IntegrityError, transaction
from django.utils.timezone import localtime
from django.utils.translation import gettext as _

from apiary_ops.fieldbook import queries, registry
from apiary_ops.fieldbook.compute import AS_SENT, Sent, read_record
from apiary_ops.fieldbook.models import Record
from apiary_ops.kernel.refusals import RuleBroken
from apiary_ops.people.models import User

CLOCK_MAY_BE_AHEAD = timedelta(minutes=10)


class ParentMissing(RuleBroken):
    pass


class ParentSetAside(RuleBroken):
    pass


class ParentWaits(Exception):
    """What a record hangs on has not landed: it is no refusal, the record waits."""


@dataclass(frozen=True, slots=True)
class Outcome:
    """What became of one record, as the phone is told."""

    key: str
    state: str
    words: str = ""


def land_records(*, records: Sequence[Any], sent_by: User, received_at: datetime) -> list[Outcome]:
    """Take in what a phone sent, each record in its own transaction, and say what became of each, in order.

    Safe to send again, whole or in part: a record that is known keeps the outcome it had. Nothing that carries a key
    is lost, however malformed.
    """
    return [_land(read_record(raw), raw, sent_by, received_at) for raw in records]


def _land(sent: Sent, raw: Any, sent_by: User, received_at: datetime) -> Outcome:
    if sent.key is None:
        named = raw.get("key") if isinstance(raw, dict) else None
        return Outcome(named if isinstance(named, str) else "", Record.State.REFUSED, sent.trouble)
    record = Record.objects.filter(pk=sent.key).first() or _take_in(sent.key, sent, sent_by, received_at)
    if record.state == Record.State.WAITING:
        # Its parent may have landed in the moment between; whoever comes second sees the other.
        record = land_waiting(record.pk)
    if record.state == Record.State.LANDED:
        land_children(record.pk)
    return Outcome(str(record.pk), record.state, " ".join(filter(None, [record.words, _said_otherwise(record, sent)])))


def _said_otherwise(record: Record, sent: Sent) -> str:
    same = (record.kind, record.payload_version, record.parent, record.payload) == (
        sent.kind,
        sent.version,
        sent.parent,
        sent.payload,
    ) or record.payload == {AS_SENT: sent.raw}
    return "" if same else _("This key came before with other values; the first ones stand.")


@transaction.atomic
def _take_in(key: UUID, sent: Sent, sent_by: User, received_at: datetime) -> Record:
    ahead = sent.observed_at is not None and sent.observed_at > received_at + CLOCK_MAY_BE_AHEAD
    observer = User.objects.filter(pk=sent.observed_by).first()
    trouble = sent.trouble or ("" if observer else _("“observed_by” is nobody here."))
    record = Record(
        key=key,
        kind=sent.kind,
        payload_version=sent.version,
        payload={AS_SENT: sent.raw} if trouble else sent.payload,
        parent=sent.parent,
        device=sent.device,
        observed_by=observer or sent_by,
        observed_at=received_at if ahead or sent.observed_at is None else sent.observed_at,
        sent_by=sent_by,
        received_at=received_at,
    )
    try:
        with transaction.atomic():
            record.save(force_insert=True)
    except IntegrityError:
        # The same record came by another way at the same moment; it has landed, or was refused, by now.
        return Record.objects.get(pk=key)
    if trouble:
        _refuse(record, trouble)
    elif not queries.hands().filter(pk=record.observed_by_id).exists():
        _refuse(
            record,
            _("%(person)s is not among those who go to the yards. Land it if it is right all the same.")
            % {"person": record.observed_by},
        )
    else:
        carry_out(record)
        if ahead:
            clock = _("The phone's clock was ahead: this counts from when it arrived.")
            record.words = " ".join(filter(None, [record.words, clock]))[:500]
    record.save(update_fields=["state", "result", "words"])
    return record


@transaction.atomic
def land_waiting(key: UUID) -> Record:
    """Try again what waited for its parent; anything else stays as it is."""
    record = Record.objects.select_for_update(no_key=True).get(pk=key)
    if record.state == Record.State.WAITING:
        carry_out(record)
        record.save(update_fields=["state", "result", "words"])
    return record


def land_children(key: UUID) -> None:
    """Land what waited for this record, in the order it was observed, each in its own transaction."""
    for waiting in list(queries.hanging_on(key).values_list("pk", flat=True)):
        if land_waiting(waiting).state == Record.State.LANDED:
            land_children(waiting)


def carry_out(record: Record, *, insist: bool = False) -> None:
    """Apply a record that is held for it, and set its state, result and words; the caller saves.

    What a rule refuses leaves no trace but the words.
    """
    try:
        facts = queries.read(record)
        arrival = registry.Arrival(
            key=record.key,
            device=record.device,
            observed_by=record.observed_by,
            observed_at=record.observed_at,
            received_on=localtime(record.received_at).date(),
            parent=_parent_result(record),
            insist=insist,
        )
        kind = registry.kind(record.kind)
        assert kind is not None  # it was read
        with transaction.atomic():
            landing = kind.apply(facts, arrival)
    except ParentWaits:
        record.state, record.words = Record.State.WAITING, ""
    except registry.Question as question:
        record.state, record.words = Record.State.QUESTION, str(question)[:500]
    except RuleBroken as refusal:
        _refuse(record, str(refusal))
    except ValidationError as refusal:
        _refuse(record, " ".join(refusal.messages))
    except (IntegrityError, DataError):
        _refuse(record, _("The books of the yard refuse this. It is kept as it was sent."))
    else:
        record.state, record.result, record.words = Record.State.LANDED, landing.result, landing.words[:500]


def _refuse(record: Record, words: str) -> None:
    record.state, record.words = Record.State.REFUSED, words[:500]


def _parent_result(record: Record) -> str:
    """The Ref of what a record hangs on. Raises ParentWaits, ParentMissing, ParentSetAside."""
    kind = registry.kind(record.kind)
    if record.parent is None:
        if kind is not None and kind.needs_parent:
            raise ParentMissing(_("It does not say which visit it belongs to."))
        return ""
    parent = queries.parent_of(record)
    if parent is not None and parent.state == Record.State.DROPPED:
        raise ParentSetAside(_("The visit it belongs to was set aside."))
    if parent is None or parent.state != Record.State.LANDED:
        raise ParentWaits
    return parent.result
