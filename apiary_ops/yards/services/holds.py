"""Holds: a yard or a colony from which nothing moves until the inspector agrees."""

from collections.abc import Sequence
from datetime import date
from uuid import UUID

from django.db import transaction
from django.utils.translation import gettext as _

from apiary_ops.core import once
from apiary_ops.core.days import spoken_day
from apiary_ops.core.history import sign
from apiary_ops.kernel.refusals import RuleBroken
from apiary_ops.people.models import User
from apiary_ops.yards import queries
from apiary_ops.yards.models import Hold, Task, Visit, Yard

from .days import bump_open_seasons
from .tasks import add_task, colony_at

CALL_THE_INSPECTOR = "Call the inspector"


class ReasonMissing(RuleBroken):
    pass


class HoldEnded(RuleBroken):
    pass


class HoldEndsTooEarly(RuleBroken):
    pass


@transaction.atomic
def place_hold(
    *,
    yard_id: int,
    colony_id: int | None = None,
    reason: str,
    starts_on: date,
    actor: User,
    once_key: UUID | None = None,
) -> Hold:
    """From that day nothing leaves the yard, or the one colony of it. Raises ReasonMissing, ColonyElsewhere."""
    claimed = once.claim(once_key, "hold")
    yard = Yard.objects.select_for_update(no_key=True).get(pk=yard_id)
    colony = colony_at(yard, colony_id)
    if not reason.strip():
        raise ReasonMissing(_("Say why nothing may move, so that the next person knows."))
    hold = Hold(yard=yard, colony=colony, reason=reason.strip(), starts_on=starts_on, placed_by=actor)
    hold.full_clean()
    sign(hold, actor)
    hold.save()
    once.settle(claimed, f"hold:{hold.pk}")
    bump_open_seasons()
    return hold


@transaction.atomic
def lift_hold(*, hold_id: int, on: date, because: str, actor: User) -> Hold:
    """End a hold on a day, saying why it is safe. Raises HoldEnded, HoldEndsTooEarly, ReasonMissing."""
    hold = Hold.objects.select_for_update(no_key=True).get(pk=hold_id)
    if hold.ended_on is not None:
        raise HoldEnded(_("This hold already ended on %(day)s.") % {"day": spoken_day(hold.ended_on)})
    if on < hold.starts_on:
        raise HoldEndsTooEarly(
            _("The hold began on %(day)s. It cannot end before.") % {"day": spoken_day(hold.starts_on)}
        )
    if not because.strip():
        raise ReasonMissing(_("Say why it ended: who agreed, and what was found."))
    hold.ended_on, hold.ended_because = on, because.strip()
    sign(hold, actor)
    hold.save(update_fields=["ended_on", "ended_because"])
    bump_open_seasons()
    return hold


def stop_for_disease(*, visit: Visit, tags: Sequence[str], actor: User) -> bool:
    """Hold the visited yard and call the inspector, once, when disease is suspected in the colonies of these tags.

    Runs inside the caller's transaction; returns whether the visit must stop.
    """
    if not tags:
        return False
    named = tags[0] if len(tags) == 1 else f"{tags[0]} and {len(tags) - 1} more"
    if not queries.open_holds_of(yard_id=visit.yard_id).exists():
        place_hold(
            yard_id=visit.yard_id,
            reason=f"disease suspected in {named}",
            starts_on=visit.on,
            actor=actor,
        )
    calls = Task.objects.filter(yard_id=visit.yard_id, done_on__isnull=True, what__startswith=CALL_THE_INSPECTOR)
    if not calls.exists():
        add_task(
            season_id=visit.season_id,
            yard_id=visit.yard_id,
            what=f"{CALL_THE_INSPECTOR}: disease suspected in {named}",
            due_on=visit.on,
            actor=actor,
        )
    return True
