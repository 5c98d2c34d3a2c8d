"""Where colonies come from and where they end: split from one, united into another, lost, sold."""

from dataclasses import replace
from datetime import date
from uuid import UUID

from django.db import transaction
from django.db.models import Max
from django.utils.translation import gettext as _

from apiary_ops.core import once
from apiary_ops.core.days import spoken_day
from apiary_ops.core.versions import StaleRecord
from apiary_ops.kernel.refusals import RuleBroken
from apiary_ops.people.models import User
from apiary_ops.yards import queries
from apiary_ops.yards.models import DISEASE_SUSPECTED, Colony, Look

from .colonies import ColonyDraft, add_colonies
from .days import bumping_last, refuse_future
from .frames import move_frames
from .holds import place_hold
from .moves import SameColony, TwoYards
from .standing import live, lock_yards, locked, refuse_ended, refuse_held_yard, refuse_on_hold, save
from .tasks import carry_tasks


class SplitBeforeStart(RuleBroken):
    pass


class EndedBeforeStart(RuleBroken):
    pass


class LookedAtLater(RuleBroken):
    pass


class FramesMovedLater(RuleBroken):
    pass


class CauseMissing(RuleBroken):
    pass


@transaction.atomic
@bumping_last()
def split_colony(
    *,
    parent_id: int,
    colony: ColonyDraft,
    yard_id: int | None = None,
    brood_frames: int = 0,
    food_frames: int = 0,
    today: date,
    actor: User,
    once_key: UUID | None = None,
) -> Colony:
    """A new colony made from another, which it names as its parent; it stands in the parent's yard unless told.

    Frames it was given are recorded as moved with their bees. Raises AlreadyEnded, SplitBeforeStart, NothingMoves
    while the parent, its yard or the other yard is on hold, and what add_colonies and move_frames raise.
    """
    claimed = once.claim(once_key, "split")
    parent = live(parent_id)
    there = lock_yards(parent.yard_id, yard_id or parent.yard_id)[yard_id or parent.yard_id]
    refuse_on_hold(parent, _("be split"))
    refuse_held_yard(there)
    if colony.started_on < parent.started_on:
        raise SplitBeforeStart(
            _("%(parent)s started on %(day)s. It cannot have been split before.")
            % {"parent": parent, "day": spoken_day(parent.started_on)}
        )
    draft = replace(colony, split_from_id=parent.pk)
    (split,) = add_colonies(yard_id=there.pk, colonies=[draft], today=today, actor=actor)
    if brood_frames or food_frames:
        move_frames(
            from_id=parent.pk,
            to_id=split.pk,
            on=colony.started_on,
            today=today,
            brood_frames=brood_frames,
            food_frames=food_frames,
            with_bees=True,
            actor=actor,
        )
    once.settle(claimed, f"colony:{split.tag}")
    return split


@transaction.atomic
@bumping_last()
def unite_colonies(
    *,
    colony_id: int,
    into_id: int,
    on: date,
    today: date,
    because: str = "",
    version: int | None = None,
    actor: User | None,
) -> Colony:
    """A colony ends by joining another of its yard, which it names; its position becomes free.

    Raises SameColony, TwoYards, FutureDay, AlreadyEnded, EndedBeforeStart, LookedAtLater, FramesMovedLater;
    NothingMoves while either is on hold; StaleRecord when `version` is given and the colony changed since.
    """
    refuse_future(on, today, _("The end of a colony"))
    if colony_id == into_id:
        raise SameColony(_("A colony cannot be united with itself. Choose two."))
    colonies = locked([colony_id, into_id])
    colony, into = colonies[colony_id], colonies[into_id]
    for one in (colony, into):
        refuse_ended(one)
    if version is not None and colony.version != version:
        raise StaleRecord(colony)
    if colony.yard_id != into.yard_id:
        raise TwoYards(
            _("%(first)s stands in %(here)s and %(second)s in %(there)s. Move it there first, then unite them.")
            % {"first": colony, "here": colony.yard, "second": into, "there": into.yard}
        )
    for one in (colony, into):
        _refuse_before_start(one, on)
    _refuse_before_last_seen(colony, on)
    lock_yards(colony.yard_id)
    for one in (colony, into):
        refuse_on_hold(one, _("be united"))
    why = because.strip() or _("united into %(other)s") % {"other": into}
    save(colony, {"state": Colony.State.UNITED, "ended_on": on, "united_into": into, "loss_cause": why}, actor)
    carry_tasks(colony_ids=[colony.pk], actor=actor)
    return colony


@transaction.atomic
@bumping_last()
def end_colony(
    *, colony_id: int, state: str, on: date, today: date, cause: str, actor: User | None, version: int | None = None
) -> Colony:
    """A colony is lost, united with another or sold, with the cause and the day; its position becomes free.

    What rules asked of it is taken back; a loss to suspected disease puts the yard on hold.
    Raises CauseMissing, FutureDay, AlreadyEnded, EndedBeforeStart, LookedAtLater, FramesMovedLater; NothingMoves when
    one on hold would be sold or united; StaleRecord when `version` is given and the colony changed since.
    """
    refuse_future(on, today, _("The end of a colony"))
    colony = live(colony_id)
    if version is not None and colony.version != version:
        raise StaleRecord(colony)
    if not cause.strip():
        raise CauseMissing(_("Say why it ended: the cause of the loss, or where it went."))
    _refuse_before_start(colony, on)
    _refuse_before_last_seen(colony, on)
    if state in (Colony.State.SOLD, Colony.State.UNITED):
        lock_yards(colony.yard_id)
        refuse_on_hold(colony, _("be sold or united"))
    save(colony, {"state": Colony.State(state), "ended_on": on, "loss_cause": cause.strip()}, actor)
    carry_tasks(colony_ids=[colony.pk], actor=actor)
    if actor is not None and cause.strip() == DISEASE_SUSPECTED:
        _hold_its_yard(colony, on, actor)
    return colony


def _hold_its_yard(colony: Colony, on: date, actor: User) -> None:
    """As a look that suspects disease does: what died of it feeds it to every robber in the yard."""
    if not queries.open_holds_of(yard_id=colony.yard_id).exists():
        reason = _("disease suspected in %(colony)s, which died") % {"colony": colony}
        place_hold(yard_id=colony.yard_id, reason=reason, starts_on=on, actor=actor)


def _refuse_before_start(colony: Colony, on: date) -> None:
    if on < colony.started_on:
        raise EndedBeforeStart(
            _("%(colony)s started on %(day)s. It cannot have ended before.")
            % {"colony": colony, "day": spoken_day(colony.started_on)}
        )


def _refuse_before_last_seen(colony: Colony, on: date) -> None:
    last = Look.objects.filter(colony=colony).aggregate(last=Max("visit__on"))["last"]
    if last and on < last:
        raise LookedAtLater(
            _("%(colony)s was still looked at on %(day)s. Choose that day or a later one.")
            % {"colony": colony, "day": spoken_day(last)}
        )
    move = queries.frame_moves_of([colony.pk]).first()
    if move and on < move.on:
        raise FramesMovedLater(
            _("%(colony)s still gave or took frames on %(day)s. Choose that day or a later one.")
            % {"colony": colony, "day": spoken_day(move.on)}
        )
