"""Colonies: added, changed, kept for something else for a while."""

from collections.abc import Sequence
from dataclasses import asdict, dataclass, replace
from datetime import date
from typing import Any
from uuid import UUID

from django.db import IntegrityError, transaction
from django.utils.translation import gettext as _
from simple_history.utils import bulk_create_with_history

from apiary_ops.core import clock, once
from apiary_ops.core.history import sign
from apiary_ops.core.versions import save_changes
from apiary_ops.kernel.refusals import RuleBroken
from apiary_ops.people.models import User
from apiary_ops.yards.models import Colony, Yard

from .days import bump_open_seasons, refuse_future
from .standing import PositionTaken, live, save


class TagTaken(RuleBroken):
    pass


class PurposeEndsTooEarly(RuleBroken):
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
    queen_origin: str = ""
    queen_mark: str = ""
    queen_lot: str = ""
    split_from_id: int | None = None


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
    drafts = _placed(yard, [_trimmed(draft) for draft in colonies])
    for draft in drafts:
        refuse_future(draft.started_on, today, _("A colony"))
    _refuse_taken_tags([draft.tag for draft in drafts])
    rows = [Colony(yard=yard, **asdict(draft)) for draft in drafts]
    for row in rows:
        row.clean_fields(exclude=["yard", "split_from"])
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
    queen_origin: str = "",
    queen_mark: str = "",
    queen_lot: str = "",
    actor: User | None,
    once_key: UUID | None = None,
) -> Colony:
    """One new colony; see add_colonies."""
    draft = ColonyDraft(tag, started_on, position or 0, boxes, purpose, queen_year, queen_origin, queen_mark, queen_lot)
    return add_colonies(yard_id=yard_id, colonies=[draft], today=today, actor=actor, once_key=once_key)[0]


def _trimmed(draft: ColonyDraft) -> ColonyDraft:
    return replace(
        draft,
        tag=draft.tag.strip().upper(),
        queen_origin=draft.queen_origin.strip(),
        queen_lot=draft.queen_lot.strip(),
    )


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
    """Change a colony's tag, boxes or what is known of its queen. Raises TagTaken, StaleRecord."""
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
def set_purpose(
    *,
    colony_id: int,
    purpose: str,
    starts_on: date | None = None,
    ends_on: date | None = None,
    actor: User | None,
) -> Colony:
    """Say what a colony is kept for, from one day to another; an open end means always.

    Outside these days it counts for nucs again, so nucs themselves need no days and keep none. Raises AlreadyEnded,
    PurposeEndsTooEarly.
    """
    colony = live(colony_id)
    if purpose == Colony.Purpose.NUCS:
        starts_on = ends_on = None
    if starts_on and ends_on and ends_on < starts_on:
        raise PurposeEndsTooEarly(_("The last day cannot come before the first."))
    changes = {"purpose": Colony.Purpose(purpose), "purpose_from": starts_on, "purpose_until": ends_on}
    save(colony, changes, actor)
    return colony
