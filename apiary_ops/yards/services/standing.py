"""A colony as it stands: read under lock, alive, on no hold, and saved with its history."""

from collections.abc import Iterable
from datetime import date
from typing import Any

from django.db import IntegrityError, transaction
from django.utils.translation import gettext as _

from apiary_ops.core.days import spoken_day
from apiary_ops.core.history import sign
from apiary_ops.core.versions import save_changes
from apiary_ops.kernel.refusals import RuleBroken
from apiary_ops.people.models import User
from apiary_ops.yards import queries
from apiary_ops.yards.models import Colony, Yard

from .days import bump_open_seasons


class AlreadyEnded(RuleBroken):
    pass


class NothingMoves(RuleBroken):
    pass


class PositionTaken(RuleBroken):
    pass


def locked(colony_ids: Iterable[int]) -> dict[int, Colony]:
    """Colonies with their yards, locked in pk order, so that two people who mean the same ones take turns."""
    rows = Colony.objects.select_for_update(no_key=True, of=("self",)).prefetch_related("yard")
    return {colony.pk: colony for colony in rows.filter(pk__in=set(colony_ids)).order_by("pk")}


def live(colony_id: int) -> Colony:
    """One colony, locked. Raises AlreadyEnded."""
    colony = Colony.objects.select_for_update(no_key=True, of=("self",)).prefetch_related("yard").get(pk=colony_id)
    refuse_ended(colony)
    return colony


def refuse_ended(colony: Colony) -> None:
    """Raises AlreadyEnded for a colony that was lost, united or sold."""
    if colony.ended_on is not None:
        raise AlreadyEnded(
            _("%(colony)s ended on %(day)s (%(state)s).")
            % {
                "colony": colony,
                "day": spoken_day(colony.ended_on),
                "state": colony.get_state_display(),
            }
        )


def lock_yards(*pks: int) -> dict[int, Yard]:
    """The yards, locked in pk order: a hold placed at the same moment waits, or is seen."""
    return {yard.pk: yard for yard in Yard.objects.select_for_update(no_key=True).filter(pk__in=pks).order_by("pk")}


def refuse_on_hold(colony: Colony, act: str, on: date | None = None) -> None:
    """Nothing goes in or out of what is on hold; `act` ends the sentence "C0001 cannot ...".

    With a day, only a hold that began by then counts. Raises NothingMoves.
    """
    holds = queries.open_holds_of(yard_id=colony.yard_id, colony_id=colony.pk)
    hold = (holds if on is None else holds.filter(starts_on__lte=on)).first()
    if hold:
        held = colony.yard if hold.colony_id is None else colony
        raise NothingMoves(
            _("%(held)s is on hold (%(reason)s): %(colony)s cannot %(act)s. Ask the inspector first.")
            % {"held": held, "reason": hold.reason, "colony": colony, "act": act}
        )


def refuse_held_yard(yard: Yard) -> None:
    """Nothing comes into a yard on hold. Raises NothingMoves."""
    if queries.open_holds_of(yard_id=yard.pk).exists():
        raise NothingMoves(
            _("%(there)s is on hold: nothing moves in or out. Ask the inspector first.") % {"there": yard}
        )


def save(colony: Colony, changes: dict[str, Any], actor: User | None) -> None:
    """Write what changed, sign it, and say that the yards changed. Raises PositionTaken."""
    sign(colony, actor)
    try:
        with transaction.atomic():
            changed = save_changes(colony, colony.version, changes)
    except IntegrityError:
        raise PositionTaken(_("Another colony took this position meanwhile. Choose another.")) from None
    if changed:
        bump_open_seasons()
