"""Colonies: added, moved, kept for something else, ended."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Any
from uuid import UUID

from django.db import IntegrityError, transaction
from django.db.models import Max
from django.utils.translation import gettext as _
from simple_history.utils import bulk_create_with_history

from apiary_ops.core import clock, once
from apiary_ops.core.days import spoken_day
from apiary_ops.core.history import sign
from apiary_ops.core.versions import StaleRecord, save_changes
from apiary_ops.kernel.refusals import RuleBroken
from apiary_ops.people.models import User
from apiary_ops.yards import queries
from apiary_ops.yards.models import Colony, Look, Yard

from .days import bump_open_seasons, refuse_future
from .standing import NothingMoves, PositionTaken, live, lock_yards, refuse_on_hold, save


class TagTaken(RuleBroken):
    pass


class EndedBeforeStart(RuleBroken):
    pass


class LookedAtLater(RuleBroken):
    pass


class CauseMissing(RuleBroken):
    pass


@dataclass(frozen=True, slots=True)
class ColonyDraft:
    """A colony to add. Position 0 means after the last one of its yard."""

    tag: str
    started_on: date
    position: int = 0
    boxes: int = 2
    purpose: str = Colony.Purpose.NUCS
    queen_year: int | None = None


@transaction.atomic
def add_colonies(
    *,
    yard_id: int,
    colonies: Sequence[ColonyDraft],
    today: date,
    actor: User | None,
    once_key: UUID | None = None,
) -> list[Colony]:
    """Colonies that stand in one yard, in the order given. Tags are kept in capitals.

    Raises TagTaken, PositionTaken, FutureDay.
    """
    claimed = once.claim(once_key, "colony")
    yard = Yard.objects.select_for_update(no_key=True).get(pk=yard_id)
    drafts = _placed(yard, [replace(draft, tag=draft.tag.strip().upper()) for draft in colonies])
    for draft in drafts:
        refuse_future(draft.started_on, today, _("A colony"))
    _refuse_taken_tags([draft.tag for draft in drafts])
    rows = [
        Colony(
            tag=draft.tag,
            yard=yard,
            position=draft.position,
            boxes=draft.boxes,
            purpose=draft.purpose,
            started_on=draft.started_on,
            queen_year=draft.queen_year,
        )
        for draft in drafts
    ]
    for row in rows:
        row.clean_fields(exclude=["yard"])
    try:
        with transaction.atomic():
            rows = bulk_create_with_history(rows, Colony, default_user=actor, default_date=clock.now())
    except IntegrityError:
        raise TagTaken(_("One of these tags or positions was taken meanwhile. Look again and choose others.")) from None
    once.settle(claimed, f"colony:{rows[0].tag}" if rows else "")
    bump_open_seasons()
    return list(rows)


def add_colony(
    *,
    yard_id: int,
    tag: str,
    started_on: date,
    today: date,
    position: int | None = None,
    boxes: int = 2,
    purpose: str = Colony.Purpose.NUCS,
    queen_year: int | None = None,
    actor: User | None,
    once_key: UUID | None = None,
) -> Colony:
    """One new colony; see add_colonies."""
    draft = ColonyDraft(tag, started_on, position or 0, boxes, purpose, queen_year)
    return add_colonies(yard_id=yard_id, colonies=[draft], today=today, actor=actor, once_key=once_key)[0]


def _placed(yard: Yard, drafts: Sequence[ColonyDraft]) -> list[ColonyDraft]:
    """The drafts with their positions; those at 0 follow the last of the yard."""
    standing = Colony.objects.filter(yard=yard, state=Colony.State.LIVE)
    taken = dict(standing.values_list("position", "tag"))
    placed = []
    for draft in drafts:
        position = draft.position or max(taken, default=0) + 1
        if position in taken:
            raise PositionTaken(
                _("%(other)s already stands at position %(position)s of %(yard)s. Choose another.")
                % {"other": taken[position], "position": position, "yard": yard}
            )
        taken[position] = draft.tag
        placed.append(replace(draft, position=position))
    return placed


def _refuse_taken_tags(tags: Sequence[str]) -> None:
    twice = {tag for tag in tags if tags.count(tag) > 1} if len(set(tags)) < len(tags) else set()
    taken = twice or set(Colony.objects.filter(tag__in=tags).values_list("tag", flat=True))
    if taken:
        raise TagTaken(
            _("The tag %(tag)s is already used. Each colony has its own; choose another.") % {"tag": min(taken)}
        )


@transaction.atomic
def edit_colony(*, colony_id: int, version: int, changes: dict[str, Any], actor: User) -> Colony:
    """Change a colony's tag, boxes or queen's year. Raises TagTaken."""
    colony = Colony.objects.select_for_update(no_key=True).get(pk=colony_id)
    if "tag" in changes:
        changes = changes | {"tag": changes["tag"].strip().upper()}
        if changes["tag"] != colony.tag:
            _refuse_taken_tags([changes["tag"]])
    sign(colony, actor)
    if save_changes(colony, version, changes):
        bump_open_seasons()
    return colony


@transaction.atomic
def move_colony(*, colony_id: int, yard_id: int, position: int | None, actor: User | None) -> Colony:
    """Set a colony at another position or in another yard; without a position, after the last one there.

    Raises NothingMoves while it, its yard or the other yard is on hold; PositionTaken; AlreadyEnded.
    """
    colony = live(colony_id)
    there = lock_yards(colony.yard_id, yard_id)[yard_id]
    if there.pk != colony.yard_id:
        refuse_on_hold(colony, "move")
        if queries.open_holds_of(yard_id=there.pk).exists():
            raise NothingMoves(
                _("%(there)s is on hold: nothing moves in or out. Ask the inspector first.") % {"there": there}
            )
    others = Colony.objects.filter(yard=there, state=Colony.State.LIVE).exclude(pk=colony.pk)
    taken = dict(others.values_list("position", "tag"))
    position = position or max(taken, default=0) + 1
    if position in taken:
        raise PositionTaken(
            _("%(other)s already stands at position %(position)s of %(there)s. Choose another.")
            % {"other": taken[position], "position": position, "there": there}
        )
    save(colony, {"yard": there, "position": position}, actor)
    return colony


@transaction.atomic
def set_purpose(*, colony_id: int, purpose: str, actor: User | None) -> Colony:
    """Say what a colony is kept for from now on. Raises AlreadyEnded."""
    colony = live(colony_id)
    save(colony, {"purpose": Colony.Purpose(purpose)}, actor)
    return colony


@transaction.atomic
def end_colony(
    *, colony_id: int, state: str, on: date, today: date, cause: str, actor: User | None, version: int | None = None
) -> Colony:
    """A colony is lost, united with another or sold, with the cause and the day; its position becomes free.

    Raises CauseMissing, FutureDay, AlreadyEnded, EndedBeforeStart, LookedAtLater; NothingMoves when one on hold
    would be sold or united; StaleRecord when `version` is given and the colony changed since.
    """
    refuse_future(on, today, _("The end of a colony"))
    colony = live(colony_id)
    if version is not None and colony.version != version:
        raise StaleRecord(colony)
    if not cause.strip():
        raise CauseMissing(_("Say why it ended: the cause of the loss, or where it went."))
    if on < colony.started_on:
        raise EndedBeforeStart(
            _("%(colony)s started on %(day)s. It cannot have ended before.")
            % {"colony": colony, "day": spoken_day(colony.started_on)}
        )
    last = Look.objects.filter(colony=colony).aggregate(last=Max("visit__on"))["last"]
    if last and on < last:
        raise LookedAtLater(
            _("%(colony)s was still looked at on %(day)s. Choose that day or a later one.")
            % {"colony": colony, "day": spoken_day(last)}
        )
    if state in (Colony.State.SOLD, Colony.State.UNITED):
        lock_yards(colony.yard_id)
        refuse_on_hold(colony, "be sold or united")
    save(colony, {"state": Colony.State(state), "ended_on": on, "loss_cause": cause.strip()}, actor)
    return colony
