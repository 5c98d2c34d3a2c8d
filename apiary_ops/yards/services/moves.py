"""Where colonies stand: moved to another position or yard, two swapped in one yard."""

from django.db import transaction
from django.db.models import Max
from django.utils.translation import gettext as _

from apiary_ops.core.history import sign
from apiary_ops.kernel.refusals import RuleBroken
from apiary_ops.people.models import User
from apiary_ops.yards.models import Colony, Treatment

from .days import bumping_last
from .standing import PositionTaken, live, lock_yards, locked, refuse_ended, refuse_held_yard, refuse_on_hold, save
from .tasks import carry_tasks


class TwoYards(RuleBroken):
    pass


class SameColony(RuleBroken):
    pass


@transaction.atomic
@bumping_last()
def move_colony(*, colony_id: int, yard_id: int, position: int | None, actor: User | None) -> Colony:
    """Set a colony at another position or in another yard; without a position, after the last one there.

    Its open tasks, and the treatments given to it alone, go with it.
    Raises NothingMoves while it, its yard or the other yard is on hold; PositionTaken; AlreadyEnded.
    """
    colony = live(colony_id)
    there = lock_yards(colony.yard_id, yard_id)[yard_id]
    if there.pk != colony.yard_id:
        refuse_on_hold(colony, _("move"))
        refuse_held_yard(there)
    others = Colony.objects.filter(yard=there, state=Colony.State.LIVE).exclude(pk=colony.pk)
    taken = dict(others.values_list("position", "tag"))
    position = position or max(taken, default=0) + 1
    if position in taken:
        raise PositionTaken(
            _("%(other)s already stands at position %(position)s of %(there)s. Choose another.")
            % {"other": taken[position], "position": position, "there": there}
        )
    leaves = there.pk != colony.yard_id
    save(colony, {"yard": there, "position": position}, actor)
    if leaves:
        _carry_treatments(colony, actor)
        carry_tasks(colony_ids=[colony.pk], actor=actor)
    return colony


def _carry_treatments(colony: Colony, actor: User | None) -> None:
    """What was given to the colony itself and is still in the hive comes out where the hive stands."""
    rows = Treatment.objects.select_for_update(no_key=True).filter(colony=colony, ended_on__isnull=True)
    for treatment in rows.order_by("pk"):
        treatment.yard = colony.yard
        sign(treatment, actor)
        treatment.save(update_fields=["yard"])


@transaction.atomic
@bumping_last()
def swap_positions(*, first_id: int, second_id: int, actor: User | None) -> tuple[Colony, Colony]:
    """Two colonies of one yard change places, so that the weaker gets the fliers of the stronger.

    Allowed in a yard on hold: nothing leaves it. Raises SameColony, AlreadyEnded, TwoYards.
    """
    if first_id == second_id:
        raise SameColony(_("A colony cannot change places with itself. Choose two."))
    colonies = locked([first_id, second_id])
    first, second = colonies[first_id], colonies[second_id]
    for colony in (first, second):
        refuse_ended(colony)
    if first.yard_id != second.yard_id:
        raise TwoYards(
            _("%(first)s stands in %(here)s and %(second)s in %(there)s. Positions change within one yard; move them.")
            % {"first": first, "here": first.yard, "second": second, "there": second.yard}
        )
    lock_yards(first.yard_id)
    here, there = first.position, second.position
    _step_aside(first)
    save(second, {"position": here}, actor)
    save(first, {"position": there}, actor)
    return first, second


def _step_aside(colony: Colony) -> None:
    """To a free position for a moment, since no two stand at one; not a change to remember."""
    standing = Colony.objects.filter(yard_id=colony.yard_id, state=Colony.State.LIVE)
    free = (standing.aggregate(last=Max("position"))["last"] or 0) + 1
    Colony.objects.filter(pk=colony.pk).update(position=free)
    colony.position = free
