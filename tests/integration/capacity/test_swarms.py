"""The swarm watch of a day, and the tasks to look for cells that come of it."""

from datetime import date, timedelta
from decimal import Decimal

import pytest

from apiary_ops.capacity import queries, services
from apiary_ops.yards import services as yards
from apiary_ops.yards.models import Task
from tests.factories.yards import LookFactory, TaskRuleFactory, VisitFactory

pytestmark = pytest.mark.django_db

TODAY = date(2027, 5, 20)


@pytest.fixture
def full(season, kind, seen):
    """A colony counted at sixteen frames in two boxes on the day: full."""
    (look,) = seen(32, on=TODAY, sealed=14, tag="F1")
    return look.colony


def watch(season, today=TODAY):
    return queries.swarm_watch(season.pk, today)


def look_for_cells(season, colony, found, on):
    LookFactory(
        visit=VisitFactory(season=season, yard=colony.yard, on=on), colony=colony, below_halves=None, cells=found
    )


def test_a_full_colony_is_due_on_the_day_it_is_full(season, full):
    (row,) = watch(season).rows

    assert (row.tag, row.full_on, row.next_check_on, row.outcome) == ("F1", TODAY, TODAY, "not looked for yet")
    assert (row.words, row.tone) == ("check cells today", "mind")
    assert row.costs_nucs > 0


def test_a_look_for_cells_puts_the_next_off_by_eight_days(season, full):
    look_for_cells(season, full, "none", TODAY)

    (row,) = watch(season).rows

    assert (row.next_check_on, row.outcome, row.words) == (date(2027, 5, 28), "none, Thu 20 May 2027", "full")
    later = watch(season, date(2027, 5, 30)).rows[0]
    assert later.words == "check cells, 2 days late"


def test_the_days_between_are_the_growers_own(season, full):
    TaskRuleFactory(code="cells", days=7)
    look_for_cells(season, full, "cut", TODAY)

    assert watch(season).rows[0].next_check_on == date(2027, 5, 27)


def test_a_check_called_done_counts_without_its_outcome(season, full, owner):
    (task,) = services.ask_for_cell_checks(season_id=season.pk, today=TODAY)
    yards.finish_task(task_id=task.pk, on=TODAY, actor=owner)

    (row,) = watch(season).rows

    assert (row.next_check_on, row.outcome) == (date(2027, 5, 28), "done, nothing noted, Thu 20 May 2027")


def test_what_swarmed_is_no_longer_due(season, full):
    look_for_cells(season, full, "swarmed", TODAY)

    found = watch(season)

    assert (found.rows[0].words, found.rows[0].next_check_on) == ("swarmed", None)
    assert (found.swarmed, found.full, found.due, found.at_stake) == (1, 0, 0, Decimal(0))


def test_colonies_kept_for_honey_swarm_too_and_cost_no_nucs(season, kind, seen):
    seen(32, on=TODAY, purpose="honey")

    assert watch(season).rows[0].costs_nucs is None


def test_what_stays_small_is_watched_and_not_listed(season, kind, seen):
    seen(3, on=TODAY)

    assert (watch(season).rows, watch(season).watched) == ((), 1)


def test_before_any_kind_is_described_nothing_is_at_stake(season, seen):
    seen(32, on=TODAY)

    assert (watch(season).kind, watch(season).rows[0].costs_nucs, watch(season).at_stake) == (None, None, Decimal(0))


def test_checks_of_the_week_become_tasks_once(season, full, owner):
    made = services.ask_for_cell_checks(season_id=season.pk, today=TODAY, actor=owner)
    again = services.ask_for_cell_checks(season_id=season.pk, today=TODAY, actor=owner)

    (task,) = made
    assert (task.what, task.rule, task.due_on) == ("Look for queen cells: its boxes are full", "cells", TODAY)
    assert (task.source, task.colony, task.yard) == (f"full:{full.pk}:2027-05-20", full, full.yard)
    assert again == []


def test_a_check_further_off_than_a_week_is_not_asked_yet(season, full):
    look_for_cells(season, full, "none", TODAY)

    asked = {
        day: len(services.ask_for_cell_checks(season_id=season.pk, today=TODAY + timedelta(days=day))) for day in (0, 1)
    }

    assert asked == {0: 0, 1: 1}


def test_a_late_check_is_due_today(season, full):
    (task,) = services.ask_for_cell_checks(season_id=season.pk, today=TODAY + timedelta(days=3))

    assert task.due_on == date(2027, 5, 23)


def test_a_grower_who_switched_the_rule_off_gets_no_tasks(season, full):
    TaskRuleFactory(code="cells", is_on=False)

    assert services.ask_for_cell_checks(season_id=season.pk, today=TODAY) == []
    assert not Task.objects.exists()


def test_many_colonies_take_the_same_few_questions(season, kind, seen, django_assert_max_num_queries):
    seen(*[32] * 40, on=TODAY)

    with django_assert_max_num_queries(16):
        assert len(watch(season).rows) == 40


def test_a_colony_that_ended_is_not_watched(season, full):
    full.state, full.ended_on = "sold", TODAY
    full.save()

    assert watch(season).watched == 0
