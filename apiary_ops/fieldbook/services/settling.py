"""Settling: a person decides what becomes of a record that could not land by itself."""

from datetime import datetime
from uuid import UUID

from django.db import transaction
from django.utils.translation import gettext as _

from apiary_ops.fieldbook import queries
from apiary_ops.fieldbook.models import Record
from apiary_ops.kernel.refusals import RuleBroken
from apiary_ops.people.models import User

from .landing import carry_out, land_children

AGAIN, INSIST, ASIDE = "again", "insist", "aside"
# What a person may do with a record, by its state.
ACTS: dict[str, tuple[str, ...]] = {
    Record.State.WAITING: (AGAIN, ASIDE),
    Record.State.QUESTION: (INSIST, ASIDE),
    Record.State.REFUSED: (AGAIN, ASIDE),
}


class AlreadySettled(RuleBroken):
    pass


class ActNotOpen(RuleBroken):
    pass


class ReasonMissing(RuleBroken):
    pass


class StillRefused(RuleBroken):
    pass


class StillWaits(RuleBroken):
    pass


def settle_record(*, key: UUID, act: str, because: str = "", at: datetime, actor: User) -> Record:
    """Land a record as things stand now, let its values stand over the first ones, or set it aside with a reason.

    What waited for it lands too, or is set aside with it. Raises AlreadySettled, ActNotOpen, ReasonMissing,
    StillRefused, StillWaits.
    """
    record = _settle(key, act, because.strip(), at, actor)
    if record.state == Record.State.LANDED:
        land_children(record.pk)
    return record


@transaction.atomic
def _settle(key: UUID, act: str, because: str, at: datetime, actor: User) -> Record:
    record = Record.objects.select_for_update(no_key=True, of=("self",)).select_related("observed_by").get(pk=key)
    open_acts = ACTS.get(record.state, ())
    if not open_acts:
        raise AlreadySettled(_("This was settled meanwhile: %(state)s.") % {"state": record.get_state_display()})
    if act not in open_acts:
        raise ActNotOpen(_("This cannot be done with it now. Look at it again."))
    if act == ASIDE:
        return _set_aside(record, because, at, actor)
    carry_out(record, insist=act == INSIST)
    if record.state == Record.State.WAITING:
        raise StillWaits(_("What it belongs to has not landed. Settle that first, or wait until it is sent."))
    if record.state == Record.State.REFUSED:
        raise StillRefused(record.words)
    if record.state == Record.State.LANDED:
        _sign(record, because, at, actor)
    else:  # refused before, and a question now: it waits on for the answer
        record.save(update_fields=["state", "words"])
    return record


def _set_aside(record: Record, because: str, at: datetime, actor: User) -> Record:
    """Set a record aside, and with it all that waits for it: without its visit a look is nowhere."""
    if not because:
        raise ReasonMissing(_("Say why it is set aside, so that the next person knows."))
    record.state = Record.State.DROPPED
    _sign(record, because, at, actor)  # first, so that records that hang on each other are met once
    for child in list(queries.hanging_on(record.pk).select_for_update(no_key=True)):
        _set_aside(child, because, at, actor)
    return record


def _sign(record: Record, because: str, at: datetime, actor: User) -> None:
    record.settled_at, record.settled_by, record.settled_because = at, actor, because[:200]
    record.save(
        update_fields=["state", "result", "words", "settled_at", "settled_by", "settled_because"],
    )
