"""Treatments that must come out: the task from each, and the looks on which strips were pulled."""

from collections.abc import Collection, Sequence
from datetime import date, timedelta

from django.db.models import Min, Q
from django.utils.translation import gettext as _

from apiary_ops.core.history import reasons_of, sign
from apiary_ops.kernel.ref import Ref
from apiary_ops.people.models import User
from apiary_ops.yards.models import Colony, Look, Task, TaskRule, Treatment, Visit

from .tasks import add_task, finish_task, reopen_task


def make_strips_task(*, treatment: Treatment, season_id: int, actor: User) -> Task | None:
    """The task to take a treatment out by its last day; none for one that stays in, or while the rule is off."""
    rule = TaskRule.objects.filter(code=TaskRule.Code.STRIPS, is_on=True).first()
    if rule is None or not treatment.kind.comes_out:
        return None
    due_on = max(treatment.starts_on, treatment.due_out_on - timedelta(days=rule.days))
    return add_task(
        season_id=season_id,
        yard_id=treatment.yard_id,
        colony_id=treatment.colony_id,
        what=_("Take out: %(treatment)s") % {"treatment": treatment.kind},
        due_on=due_on,
        rule=TaskRule.Code.STRIPS,
        source=_source(treatment),
        actor=actor,
    )


def settle_strips(*, visit: Visit, looks: Sequence[Look], actor: User) -> list[Treatment]:
    """End the treatments whose strips these looks pulled; returns those changed.

    A treatment of one colony ends with its look; one of a whole yard when the strips of every colony alive since it
    was given are out. A look that no longer says so opens again what it ended.
    """
    rows = Treatment.objects.select_for_update(no_key=True, of=("self",)).select_related("kind").order_by("pk")
    rows = rows.filter(yard_id=visit.yard_id, kind__comes_out=True, starts_on__lte=visit.on)
    changed = []
    if pulled := [look.colony_id for look in looks if look.strips_pulled]:
        for treatment in rows.filter(_of(pulled), ended_on__isnull=True):
            if out_on := pulled_on(treatment):
                close_treatment(treatment, out_on, actor, reason=str(Ref("visit", str(visit.pk))))
                changed.append(treatment)
    if taken_back := _no_longer_pulled(looks):
        ended = list(rows.filter(_of(taken_back), ended_on__isnull=False))
        by_a_look = reasons_of(Treatment, [treatment.pk for treatment in ended])
        for treatment in ended:
            if by_a_look[treatment.pk] and pulled_on(treatment) is None:
                close_treatment(treatment, None, actor)
                changed.append(treatment)
    return changed


def _of(colony_ids: Collection[int]) -> Q:
    return Q(colony__isnull=True) | Q(colony_id__in=colony_ids)


def _no_longer_pulled(looks: Sequence[Look]) -> list[int]:
    """Colonies of which an earlier version of their look said that the strips were pulled."""
    mended = [look.pk for look in looks if look.version > 1 and not look.strips_pulled]
    if not mended:
        return []
    return list(Look.history.filter(id__in=mended, strips_pulled=True).values_list("colony_id", flat=True))


def pulled_on(treatment: Treatment) -> date | None:
    """The day on which the last strips came out by the looks; None while some colony still has its own."""
    alive = Colony.objects.filter(yard_id=treatment.yard_id, state=Colony.State.LIVE)
    alive = alive.filter(started_on__lte=treatment.starts_on)
    of: Collection[int] = [treatment.colony_id] if treatment.colony_id else list(alive.values_list("pk", flat=True))
    looks = Look.objects.filter(colony_id__in=of, strips_pulled=True, visit__on__gte=treatment.starts_on)
    days = dict(looks.values_list("colony_id").annotate(Min("visit__on")))
    return max(days.values()) if days and len(days) == len(of) else None


def close_treatment(treatment: Treatment, on: date | None, actor: User, reason: str = "") -> None:
    """Write the day a treatment ended, or that it has not, and settle its task likewise."""
    treatment.ended_on = on
    if on is None and treatment.colony is not None:
        treatment.yard_id = treatment.colony.yard_id  # it may have moved since
    sign(treatment, actor, reason)
    treatment.save(update_fields=["yard", "ended_on"])
    task = Task.objects.filter(source=_source(treatment), rule=TaskRule.Code.STRIPS).first()
    if task is None:
        return
    if on is not None and task.done_on is None:
        finish_task(task_id=task.pk, on=on, actor=actor)
    elif on is None and task.done_on is not None:
        reopen_task(task_id=task.pk, actor=actor)


def _source(treatment: Treatment) -> str:
    return str(Ref("treatment", str(treatment.pk)))
