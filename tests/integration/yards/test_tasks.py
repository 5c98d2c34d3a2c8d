"""Tasks: added by hand, done once, reopened after a slip."""

from datetime import date
from uuid import uuid4

import pytest

from apiary_ops.core.once import AlreadyDone
from apiary_ops.yards import queries, services
from apiary_ops.yards.models import Task
from tests.factories.business import SeasonFactory
from tests.factories.people import UserFactory
from tests.factories.yards import ColonyFactory, TaskFactory, YardFactory

pytestmark = pytest.mark.django_db


def test_a_task_is_added_once(today):
    values = {
        "season_id": SeasonFactory().pk,
        "yard_id": YardFactory().pk,
        "what": "Take the strips out",
        "due_on": today,
        "actor": UserFactory(),
        "once_key": uuid4(),
    }
    task = services.add_task(**values)

    with pytest.raises(AlreadyDone):
        services.add_task(**values)

    assert Task.objects.get() == task
    assert task.done_on is None


def test_a_task_of_a_colony_stands_with_its_yard(today):
    colony = ColonyFactory()

    with pytest.raises(services.ColonyElsewhere):
        services.add_task(
            season_id=SeasonFactory().pk,
            yard_id=YardFactory().pk,
            colony_id=colony.pk,
            what="Requeen",
            due_on=today,
            actor=None,
        )


def test_a_task_is_done_by_someone_on_a_day_once(today):
    task, ada = TaskFactory(), UserFactory()

    services.finish_task(task_id=task.pk, on=today, actor=ada)

    task.refresh_from_db()
    assert (task.done_on, task.done_by) == (today, ada)
    with pytest.raises(services.TaskAlreadyDone, match=r"^This was already done on Mon 12 Apr 2027\.$"):
        services.finish_task(task_id=task.pk, on=today, actor=ada)


def test_a_slip_is_taken_back(today):
    task, ada = TaskFactory(), UserFactory()
    services.finish_task(task_id=task.pk, on=today, actor=ada)

    services.reopen_task(task_id=task.pk, actor=ada)

    task.refresh_from_db()
    assert (task.done_on, task.done_by) == (None, None)
    with pytest.raises(services.TaskStillOpen):
        services.reopen_task(task_id=task.pk, actor=ada)


def test_tasks_stand_by_due_day_then_yard():
    season = SeasonFactory()
    late = TaskFactory(due_on=date(2027, 5, 1))
    mill = TaskFactory(due_on=date(2027, 4, 1), yard__code="mill")
    field = TaskFactory(due_on=date(2027, 4, 1), yard__code="field")

    assert list(queries.tasks(season.pk)) == [field, mill, late]
