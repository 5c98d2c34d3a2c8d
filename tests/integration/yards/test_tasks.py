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


def test_open_tasks_follow_a_colony_that_moved(today):
    ada, done_at = UserFactory(), YardFactory()
    colony = ColonyFactory()
    waiting = TaskFactory(colony=colony, yard=done_at)
    done = TaskFactory(colony=colony, yard=done_at, done_on=today, done_by=ada)

    services.carry_tasks(colony_ids=[colony.pk], actor=ada)

    waiting.refresh_from_db()
    done.refresh_from_db()
    assert (waiting.yard, done.yard) == (colony.yard, done_at)


def test_what_a_rule_asked_of_a_colony_that_ended_is_taken_back(today):
    colony = ColonyFactory(state="lost", ended_on=today)
    TaskFactory(colony=colony, yard=colony.yard, rule="patty")
    by_hand = TaskFactory(colony=colony, yard=colony.yard, what="Burn the frames")

    services.carry_tasks(colony_ids=[colony.pk], actor=UserFactory())

    assert list(Task.objects.all()) == [by_hand]


def test_several_tasks_are_done_at_once(today):
    ada, earlier = UserFactory(), UserFactory()
    first, second = TaskFactory.create_batch(2)
    before = TaskFactory(done_on=today, done_by=earlier)

    finished = services.finish_tasks(task_ids=[first.pk, second.pk, before.pk], on=today, actor=ada)

    before.refresh_from_db()
    assert finished == [first, second]
    assert {task.done_by for task in finished} == {ada}
    assert before.done_by == earlier


def test_a_task_asked_for_by_the_same_source_stands_once(today):
    colony = ColonyFactory()
    values = {
        "season_id": SeasonFactory().pk,
        "yard_id": colony.yard_id,
        "colony_id": colony.pk,
        "what": "Check for queen cells",
        "due_on": today,
        "rule": "cells",
        "source": "full:C0001:2027-05-20",
        "actor": None,
    }

    first, again = services.add_task(**values), services.add_task(**values)

    assert first == again == Task.objects.get()


def test_a_task_taken_back_after_its_colony_moved_waits_where_the_colony_stands(today):
    colony, there, ada = ColonyFactory(), YardFactory(), UserFactory()
    task = TaskFactory(yard=colony.yard, colony=colony)
    services.finish_task(task_id=task.pk, on=today, actor=ada)
    services.move_colony(colony_id=colony.pk, yard_id=there.pk, position=None, actor=ada)

    services.reopen_task(task_id=task.pk, actor=ada)

    task.refresh_from_db()
    assert (task.done_on, task.yard) == (None, there)
