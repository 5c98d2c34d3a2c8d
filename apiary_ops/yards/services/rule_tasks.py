"""Tasks that looks make by the grower's rules, and those that a look reports as done."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta

from django.db import transaction
from django.utils.translation import gettext as _
from simple_history.utils import bulk_create_with_history

from apiary_ops.business import queries as business
from apiary_ops.core import clock
from apiary_ops.core.history import reasons_of, sign
from apiary_ops.kernel.ref import Ref
from apiary_ops.people.models import User
from apiary_ops.yards import compute, queries
from apiary_ops.yards.models import Colony, Look, Task, TaskRule, Visit

from .days import bump_season, bumping_last
from .strips import settle_strips


@dataclass(slots=True)
class _Colony:
    """One colony of a call: its looks of the season, its tasks by source and rule, and who called what done."""

    colony: Colony
    looks: dict[int, compute.Seen] = field(default_factory=dict)
    observers: dict[int, int] = field(default_factory=dict)
    tasks: dict[tuple[str, str], Task] = field(default_factory=dict)
    done_by: dict[int, str] = field(default_factory=dict)  # task -> the look that did it, or nothing

    @property
    def done_by_hand(self) -> dict[str, list[date]]:
        days = defaultdict(list)
        for task in self.tasks.values():
            if task.done_on is not None and not self.done_by.get(task.pk):
                days[task.rule].append(task.done_on)
        return days

    def can_be_done(self, rule: str) -> bool:
        """A colony that ended wants nothing more, and one in a single box has no lower one."""
        return self.colony.ended_on is None and (rule != compute.LOWER_BOX or self.colony.boxes > 1)


@transaction.atomic
@bumping_last()
def tasks_from_looks(*, visit: Visit, looks: Sequence[Look], actor: User) -> list[Task]:
    """Make, finish and take back tasks as the looks just written or corrected say; returns the tasks made.

    A task made by a look has the source "look:<id>". Looks may arrive in any order and again: the tasks that stand
    are the same. A corrected look takes back what it made while that is open, and opens again what it no longer did.
    """
    Visit.objects.select_for_update(no_key=True).get(pk=visit.pk)
    given = {look.pk for look in looks}
    missing: list[tuple[_Colony, compute.Work]] = []
    rules = _rules()
    for known in _known(visit, {look.colony_id for look in looks}):
        missing += [(known, work) for work in _reconcile(known, rules, given, actor)]
        _answer_others(known, rules, given, actor)
    made = _create(missing, visit, actor)
    settle_strips(visit=visit, looks=looks, actor=actor)
    bump_season(visit.season_id)
    return [task for task in made if task.done_on is None]


def _rules() -> list[compute.WorkRule]:
    rows = TaskRule.objects.filter(is_on=True).exclude(code=TaskRule.Code.STRIPS).order_by("code")
    return [compute.WorkRule(row.code, row.days, row.most_frames) for row in rows]


def _known(visit: Visit, colony_ids: Iterable[int]) -> list[_Colony]:
    known = {row.pk: _Colony(row) for row in Colony.objects.filter(pk__in=colony_ids).order_by("position", "pk")}
    rows = Look.objects.filter(colony_id__in=known, visit__season_id=visit.season_id).select_related("visit")
    factors = queries.factor_table(visit.on)
    for look in rows.order_by("visit__on", "id"):
        one = known[look.colony_id]
        one.looks[look.pk] = _seen(look, one.colony, factors)
        one.observers[look.pk] = look.observed_by_id or look.visit.recorded_by_id
    # A task to take strips out is held by whoever holds its treatment: see settle_strips.
    locked = Task.objects.select_for_update(no_key=True).exclude(rule__in=["", TaskRule.Code.STRIPS]).order_by("id")
    tasks = locked.filter(colony_id__in=known, season_id=visit.season_id)
    for task in tasks:
        assert task.colony_id is not None
        known[task.colony_id].tasks[task.source or f"task:{task.pk}", task.rule] = task
    done = {task.pk: task for task in tasks if task.done_on is not None}
    for pk, reason in reasons_of(Task, done).items():
        colony_id = done[pk].colony_id
        assert colony_id is not None
        known[colony_id].done_by[pk] = reason
    return list(known.values())


def _seen(look: Look, colony: Colony, factors: Sequence[compute.Factor]) -> compute.Seen:
    strength = queries.strength_of(look, look.visit, colony, factors)
    return compute.Seen(
        look_id=look.pk,
        on=look.visit.on,
        frames=strength.frames if strength else None,
        lower_box=look.lower_box,
        queen=look.queen,
        patty=look.patty,
        cells=look.cells,
        lower_box_off=look.lower_box_off,
        patty_given=look.patty_given,
    )


def _reconcile(known: _Colony, rules: Sequence[compute.WorkRule], given: set[int], actor: User) -> list[compute.Work]:
    """Bring the colony's tasks from looks to what its looks say; returns the work that has no task yet."""
    wanted = compute.work_from_looks(known.looks.values(), rules, known.done_by_hand)
    missing, standing = [], set()
    for work in wanted:
        key = (_source(work.look_id), work.rule)
        task = known.tasks.get(key)
        if work.state != compute.NOT_NEEDED:
            standing.add(key)
        if task is None:
            if work.state == compute.DONE or (work.state == compute.OPEN and known.can_be_done(work.rule)):
                missing.append(work)
        elif task.done_on is None and work.settled_by in given and work.state == compute.DONE:
            _finish(task, known, work.settled_by, actor)
        elif task.done_on is not None and work.state == compute.OPEN and known.done_by.get(task.pk):
            _reopen(task, known, actor)
    codes = {rule.code for rule in rules}
    for key, task in known.tasks.items():
        if key[0].startswith("look:") and key not in standing and key[1] in codes and task.done_on is None:
            sign(task, actor)
            task.delete()
    return missing


def _answer_others(known: _Colony, rules: Sequence[compute.WorkRule], given: set[int], actor: User) -> None:
    """Finish what others made (a person, a forecast) and these looks report as done; open again what they did not.

    A cell check answers those due before the next one would be; other work is done whenever it is due.
    """
    days = {rule.code: rule.days for rule in rules}
    for (source, rule), task in known.tasks.items():
        if source.startswith("look:"):
            continue
        for look_id in sorted(given & known.looks.keys()):
            seen = known.looks[look_id]
            is_due = rule != compute.CELLS or task.due_on <= seen.on + timedelta(days=days.get(rule, 0))
            did = rule in compute.done_on_look(seen) and is_due
            if did and task.done_on is None:
                _finish(task, known, look_id, actor)
            elif not did and task.done_on is not None and known.done_by.get(task.pk) == _source(look_id):
                _reopen(task, known, actor)


def _create(missing: Sequence[tuple[_Colony, compute.Work]], visit: Visit, actor: User) -> list[Task]:
    if not missing:
        return []
    feeds = any(work.rule == compute.PATTY for _known, work in missing)
    has_beetle = feeds and business.business().has_hive_beetle
    tasks = [_task(known, work, visit, has_beetle, actor) for known, work in missing]
    return list(bulk_create_with_history(tasks, Task, default_user=actor, default_date=clock.now()))


def _task(known: _Colony, work: compute.Work, visit: Visit, has_beetle: bool, actor: User) -> Task:
    task = Task(
        season_id=visit.season_id,
        yard_id=known.colony.yard_id,
        colony=known.colony,
        what=_what(work, has_beetle),
        rule=work.rule,
        source=_source(work.look_id),
        due_on=work.due_on,
    )
    if work.settled_by is not None:  # a later look, recorded first, already did it
        task.done_on, task.done_by_id = work.done_on, known.observers[work.settled_by]
        sign(task, actor, _source(work.settled_by))
    return task


def _what(work: compute.Work, has_beetle: bool) -> str:
    if work.rule == compute.REQUEEN:
        return _("Requeen: %(why)s") % {"why": Look.Queen(work.why).label}
    if work.rule == compute.PATTY and has_beetle:
        return _("Give a patty, no more than they eat in 5 to 7 days")
    words = {
        compute.LOWER_BOX: _("Take the lower box off"),
        compute.PATTY: _("Give a patty"),
        compute.CELLS: _("Check for queen cells"),
    }
    return words[work.rule]


def _source(look_id: int) -> str:
    return str(Ref("look", str(look_id)))


def _finish(task: Task, known: _Colony, look_id: int, actor: User) -> None:
    _save(task, known.looks[look_id].on, known.observers[look_id], actor, _source(look_id))


def _reopen(task: Task, known: _Colony, actor: User) -> None:
    if known.colony.ended_on is not None:
        return  # it wants nothing more
    task.yard_id = known.colony.yard_id  # it may have moved while the task was done
    _save(task, None, None, actor, "")


def _save(task: Task, done_on: date | None, done_by_id: int | None, actor: User, reason: str) -> None:
    task.done_on, task.done_by_id = done_on, done_by_id
    task.version += 1
    sign(task, actor, reason)
    task.save(update_fields=["yard", "done_on", "done_by", "version"])
