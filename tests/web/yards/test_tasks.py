"""Tasks: listed by the day they are due, added, done with one button, reopened after a slip."""

from datetime import date
from uuid import uuid4

import pytest
from django.urls import reverse

from apiary_ops.yards.models import Task
from tests.factories.business import SeasonFactory
from tests.factories.yards import ColonyFactory, TaskFactory, TaskRuleFactory, YardFactory

pytestmark = pytest.mark.django_db


def test_open_tasks_are_listed_with_how_late_they_are(client, crew, yard):
    TaskFactory(yard=yard, what="Pull the strips", due_on=date(2027, 4, 11))
    TaskFactory(yard=yard, what="Take the lower box off", due_on=date(2027, 4, 12))
    TaskFactory(yard=yard, what="Give a patty", due_on=date(2027, 4, 20))
    TaskFactory(yard=yard, what="Mend the fence", done_on=date(2027, 4, 1), done_by=crew)

    page = client.get(reverse("yards:task-list")).text

    assert page.index("Pull the strips") < page.index("Take the lower box off") < page.index("Give a patty")
    assert "1 day late" in page
    assert '<span class="state state-mind">today</span>' in page
    assert "Mend the fence" not in page


def test_those_done_are_shown_when_asked(client, crew, yard):
    TaskFactory(yard=yard, what="Mend the fence", done_on=date(2027, 4, 1), done_by=crew)

    page = client.get(reverse("yards:task-list"), {"done": "on"}).text

    assert "Mend the fence" in page
    assert "done 1 Apr, Tove Brook" in page


def test_tasks_are_narrowed_by_yard(client, crew, yard):
    TaskFactory(yard=yard, what="Here")
    TaskFactory(yard=YardFactory(), what="Elsewhere")

    page = client.get(reverse("yards:task-list"), {"yard": yard.pk}).text

    assert "Here" in page
    assert "Elsewhere" not in page


def test_a_button_says_done_and_comes_back_to_its_list(client, crew, yard, today):
    task = TaskFactory(yard=yard, what="Pull the strips")
    back = reverse("yards:detail", args=["mill-lane"])

    response = client.post(reverse("yards:task-finish", args=[task.pk]), {"back": back}, follow=True)

    task.refresh_from_db()
    assert response.redirect_chain == [(back, 302)]
    assert "Pull the strips: done." in response.text
    assert (task.done_on, task.done_by) == (today, crew)


@pytest.mark.parametrize(
    "elsewhere", ["https://elsewhere.example/", "//elsewhere.example/", "no page", "yards", "a\x00b"]
)
def test_a_foreign_address_to_come_back_to_is_ignored(client, crew, yard, elsewhere):
    task = TaskFactory(yard=yard)

    response = client.post(reverse("yards:task-finish", args=[task.pk]), {"back": elsewhere})

    assert response.url == reverse("yards:task-list")


def test_a_task_done_already_is_not_done_twice(client, crew, yard):
    task = TaskFactory(yard=yard, done_on=date(2027, 4, 1), done_by=crew)

    response = client.post(reverse("yards:task-finish", args=[task.pk]), follow=True)

    assert "This was already done on Thu 1 Apr 2027." in response.text


def test_a_slip_is_taken_back(client, crew, yard):
    task = TaskFactory(yard=yard, done_on=date(2027, 4, 1), done_by=crew)

    response = client.post(reverse("yards:task-reopen", args=[task.pk]), follow=True)

    task.refresh_from_db()
    assert task.done_on is None
    assert "is open again." in response.text


def test_a_task_of_another_season_is_not_here(client, crew):
    task = TaskFactory(season=SeasonFactory(year=2025))

    assert client.post(reverse("yards:task-finish", args=[task.pk])).status_code == 404


def test_a_task_is_added_for_a_colony(client, crew, yard):
    colony = ColonyFactory(yard=yard, tag="C0001")
    url = reverse("yards:task-add", args=["mill-lane"])
    fields = {"what": "Requeen", "due_on": "2027-05-10", "colony": "C0001", "once_key": uuid4()}

    form = client.get(url, {"colony": "C0001"}).context["form"]
    response = client.post(url, fields)

    assert form["colony"].value() == "C0001"
    assert response.url == reverse("yards:detail", args=["mill-lane"])
    task = Task.objects.get()
    assert (task.what, task.due_on, task.colony, task.yard) == ("Requeen", date(2027, 5, 10), colony, yard)


def test_a_task_for_a_colony_of_another_yard_is_refused(client, crew, yard):
    ColonyFactory(tag="X1")
    fields = {"what": "Requeen", "due_on": "2027-05-10", "colony": "X1", "once_key": uuid4()}

    response = client.post(reverse("yards:task-add", args=["mill-lane"]), fields)

    assert response.status_code == 422
    assert "colony" in response.context["form"].errors


def test_twenty_tasks_take_a_fixed_number_of_queries(client, crew, django_assert_max_num_queries):
    TaskFactory.create_batch(20)

    with django_assert_max_num_queries(12):
        response = client.get(reverse("yards:task-list"))

    assert response.status_code == 200


def test_those_ticked_are_done_at_once(client, crew, yard, today):
    done, left = TaskFactory(yard=yard, what="Pull the strips"), TaskFactory(yard=yard, what="Give a patty")
    page = client.get(reverse("yards:task-list")).text

    response = client.post(reverse("yards:tasks-finish"), {"task": [done.pk], "back": "/yards/tasks/"}, follow=True)

    done.refresh_from_db()
    left.refresh_from_db()
    assert f'form="several" name="task" value="{done.pk}"' in page
    assert "1 task done." in response.text
    assert (done.done_on, done.done_by, left.done_on) == (today, crew, None)


def test_nothing_ticked_is_said_plainly(client, crew):
    response = client.post(reverse("yards:tasks-finish"), follow=True)

    assert "Tick what was done first." in response.text


def test_a_task_of_another_season_cannot_be_ticked(client, crew):
    task = TaskFactory(season=SeasonFactory(year=2025))

    client.post(reverse("yards:tasks-finish"), {"task": [task.pk]})

    task.refresh_from_db()
    assert task.done_on is None


def test_tasks_are_narrowed_by_kind_and_by_day(client, crew, yard):
    TaskFactory(yard=yard, what="Cells, late", rule="cells", due_on=date(2027, 4, 11))
    TaskFactory(yard=yard, what="Cells, soon", rule="cells", due_on=date(2027, 4, 19))
    TaskFactory(yard=yard, what="Cells, far", rule="cells", due_on=date(2027, 5, 19))
    TaskFactory(yard=yard, what="A patty", rule="patty", due_on=date(2027, 4, 11))

    late = client.get(reverse("yards:task-list"), {"rule": "cells", "due": "late"}).text
    week = client.get(reverse("yards:task-list"), {"rule": "cells", "due": "week"}).text

    assert ("Cells, late" in late, "Cells, soon" in late, "A patty" in late) == (True, False, False)
    assert ("Cells, late" in week, "Cells, soon" in week, "Cells, far" in week) == (True, True, False)


def test_a_rule_is_changed_by_the_owner(client, owner):
    rule = TaskRuleFactory(code="patty", days=7)
    url = reverse("yards:task-rule", args=["patty"])

    refused = client.post(url, {"is_on": "on", "days": 90, "version": 1})
    response = client.post(url, {"days": 5, "version": 1})
    stale = client.post(url, {"days": 9, "version": 1})

    rule.refresh_from_db()
    assert (refused.status_code, stale.status_code) == (422, 422)
    assert response.url == reverse("yards:task-rules")
    assert (rule.days, rule.is_on) == (5, False)


def test_the_rules_say_when_they_make_a_task(client, crew):
    TaskRuleFactory(code="lower_box", most_frames="4.0")

    page = client.get(reverse("yards:task-rules")).text

    assert "the lower box is empty and there are at most 4.0 frames of bees" in page
    assert reverse("yards:task-rule", args=["lower_box"]) not in page
