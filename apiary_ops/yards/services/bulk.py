"""One act on many colonies: all of them, or none and why."""

from collections.abc import Callable, Collection
from datetime import date
from uuid import UUID

from django.db import transaction
from django.utils.translation import gettext as _

from apiary_ops.core import once
from apiary_ops.kernel.refusals import RuleBroken
from apiary_ops.people.models import User
from apiary_ops.yards.models import MOST_BOXES, Colony

from .colonies import set_purpose
from .days import bumping_last
from .lineage import end_colony
from .moves import move_colony
from .standing import locked, refuse_ended, save
from .tasks import add_task


class NoColonies(RuleBroken):
    pass


class BoxesRunOut(RuleBroken):
    pass


@transaction.atomic
def keep_colonies_for(
    *,
    colony_ids: Collection[int],
    purpose: str,
    starts_on: date | None = None,
    ends_on: date | None = None,
    actor: User | None,
    once_key: UUID | None = None,
) -> list[Colony]:
    """Keep each for something, within its days if given; see set_purpose. Raises NoColonies too."""

    def keep(colony: Colony) -> None:
        set_purpose(colony_id=colony.pk, purpose=purpose, starts_on=starts_on, ends_on=ends_on, actor=actor)

    return _to_each(colony_ids, keep, once_key)


@transaction.atomic
def move_colonies(
    *, colony_ids: Collection[int], yard_id: int, actor: User | None, once_key: UUID | None = None
) -> list[Colony]:
    """Move each to another yard, after the last one there, in the order they stood; see move_colony."""

    def move(colony: Colony) -> None:
        move_colony(colony_id=colony.pk, yard_id=yard_id, position=None, actor=actor)

    return _to_each(colony_ids, move, once_key)


@transaction.atomic
def add_tasks(
    *,
    colony_ids: Collection[int],
    season_id: int,
    what: str,
    due_on: date,
    actor: User | None,
    once_key: UUID | None = None,
) -> list[Colony]:
    """The same task at each, by the same day; see add_task. Raises AlreadyEnded too."""

    def add(colony: Colony) -> None:
        refuse_ended(colony)
        add_task(
            season_id=season_id,
            yard_id=colony.yard_id,
            colony_id=colony.pk,
            what=what,
            due_on=due_on,
            actor=actor,
        )

    return _to_each(colony_ids, add, once_key)


@transaction.atomic
def change_boxes(
    *, colony_ids: Collection[int], by: int, actor: User | None, once_key: UUID | None = None
) -> list[Colony]:
    """Put so many boxes on each, or take them off (`by` below 0). Raises BoxesRunOut, AlreadyEnded, NoColonies."""

    def change(colony: Colony) -> None:
        refuse_ended(colony)
        boxes = colony.boxes + by
        if boxes < 1:
            raise BoxesRunOut(_("%(colony)s has no box to spare. Leave it out.") % {"colony": colony})
        if boxes > MOST_BOXES:
            raise BoxesRunOut(
                _("%(colony)s already has %(boxes)s boxes. Leave it out.") % {"colony": colony, "boxes": colony.boxes}
            )
        save(colony, {"boxes": boxes}, actor)

    return _to_each(colony_ids, change, once_key)


@transaction.atomic
def lose_colonies(
    *,
    colony_ids: Collection[int],
    on: date,
    today: date,
    cause: str,
    actor: User | None,
    once_key: UUID | None = None,
) -> list[Colony]:
    """Each was found dead on that day, of the same cause; see end_colony."""

    def lose(colony: Colony) -> None:
        end_colony(colony_id=colony.pk, state=Colony.State.LOST, on=on, today=today, cause=cause, actor=actor)

    return _to_each(colony_ids, lose, once_key)


@bumping_last()
def _to_each(colony_ids: Collection[int], act: Callable[[Colony], None], once_key: UUID | None) -> list[Colony]:
    """Do it to every colony in walking order, under one once-key; the first refusal undoes all."""
    claimed = once.claim(once_key, "colonies")
    colonies = sorted(locked(colony_ids).values(), key=lambda colony: (colony.yard_id, colony.position, colony.pk))
    if not colonies:
        raise NoColonies(_("Tick the colonies first."))
    for colony in colonies:
        act(colony)
    once.settle(claimed, f"colonies:{len(colonies)}")
    return colonies
