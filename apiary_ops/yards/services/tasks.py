"""Tasks: what to do at a yard or a colony, by a day."""

from collections.abc import Collection
from datetime import date
from uuid import UUID

from django.db import transaction
from django.utils.translation import gettext as _

from apiary_ops.core import once
from apiary_ops.core.days import spoken_day
from apiary_ops.core.history import sign
from apiary_ops.kernel.refusals import RuleBroken
from apiary_ops.people.models import User
from apiary_ops.yards.models import Colony, Task, Yard

from .days import bump_season, bumping_last


class ColonyElsewhere(RuleBroken):
    pass


class TaskAlreadyDone(RuleBroken):
    pass


class TaskStillOpen(RuleBroken):
    pass


def refuse_elsewhere(colony: Colony | None, yard: Yard) -> None:
    """A task or a hold of a colony stands with the yard where the colony stands."""
    if colony is not None and colony.yard_id != yard.pk:
        raise ColonyElsewhere(
            _("%(colony)s stands in %(yard)s, not in %(other)s. Choose that yard.")
            % {"colony": colony, "yard": colony.yard, "other": yard}
        )


def colony_at(yard: Yard, colony_id: int | None) -> Colony | None:
    """The colony of that id, if one is named. Raises ColonyElsewhere unless it stands in the yard."""
    colony = Colony.objects.select_related("yard").get(pk=colony_id) if colony_id else None
    refuse_elsewhere(colony, yard)
    return colony


@transaction.atomic
def add_task(
    *,
    season_id: int,
    yard_id: int,
    colony_id: int | None = None,
    what: str,
    due_on: date,
    rule: str = "",
    source: str = "",
    actor: User | None,
    once_key: UUID | None = None,
) -> Task:
    """Something to do at a yard, or at one colony of it, by a day.

    `rule` says which kind of work it is (TaskRule.Code); `source` (a Ref such as "look:12") what made it: asked for
    again, the task that stands is returned. Raises ColonyElsewhere.
    """
    claimed = once.claim(once_key, "task")
    if source and (standing := Task.objects.filter(source=source, rule=rule).first()):
        return standing
    yard = Yard.objects.get(pk=yard_id)
    colony = colony_at(yard, colony_id)
    task = Task(
        season_id=season_id, yard=yard, colony=colony, what=what.strip(), rule=rule, source=source, due_on=due_on
    )
    task.full_clean()
    sign(task, actor)
    task.save()
    once.settle(claimed, f"task:{task.pk}")
    bump_season(season_id)
    return task


@transaction.atomic
def carry_tasks(*, colony_ids: Collection[int], actor: User | None) -> None:
    """Let the open tasks of these colonies follow them: to the yard where each stands now, or away with one that ended.

    What a rule asked of a colony that ended is taken back; what a person wrote down stays to be done.
    """
    rows = Task.objects.select_for_update(no_key=True, of=("self",)).select_related("colony")
    for task in rows.filter(colony_id__in=colony_ids, done_on__isnull=True).order_by("pk"):
        assert task.colony is not None
        sign(task, actor)
        if task.colony.ended_on is not None and task.rule:
            task.delete()
        elif task.yard_id != task.colony.yard_id:
            task.yard_id = task.colony.yard_id
            task.version += 1
            task.save(update_fields=["yard", "version"])


@transaction.atomic
@bumping_last()
def finish_tasks(*, task_ids: Collection[int], on: date, actor: User) -> list[Task]:
    """Note that several tasks were done; those already done stay as they are. Returns the tasks finished."""
    rows = Task.objects.select_for_update(no_key=True).filter(pk__in=task_ids, done_on__isnull=True)
    return [_settle(task, on, actor, actor) for task in rows.order_by("pk")]


@transaction.atomic
def finish_task(*, task_id: int, on: date, actor: User) -> Task:
    """Note that a task was done. Raises TaskAlreadyDone."""
    task = Task.objects.select_for_update(no_key=True).get(pk=task_id)
    if task.done_on is not None:
        raise TaskAlreadyDone(_("This was already done on %(day)s.") % {"day": spoken_day(task.done_on)})
    return _settle(task, on, actor, actor)


@transaction.atomic
def reopen_task(*, task_id: int, actor: User) -> Task:
    """Take back a task that was called done by a slip; it waits where its colony stands now. Raises TaskStillOpen."""
    task = Task.objects.select_for_update(no_key=True).get(pk=task_id)
    if task.done_on is None:
        raise TaskStillOpen(_("This task is still open."))
    if task.colony is not None:
        task.yard_id = task.colony.yard_id
    return _settle(task, None, None, actor)


def _settle(task: Task, done_on: date | None, done_by: User | None, actor: User) -> Task:
    task.done_on, task.done_by = done_on, done_by
    task.version += 1
    sign(task, actor)
    task.save(update_fields=["yard", "done_on", "done_by", "version"])
    bump_season(task.season_id)
    return task
