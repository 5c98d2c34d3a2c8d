"""Tasks from looks: made by the grower's rules, done by taps, taken back by corrections, whatever the order."""

from datetime import date
from itertools import permutations

import pytest

from apiary_ops.business.models import Business
from apiary_ops.yards import services
from apiary_ops.yards.models import Task
from tests.factories.business import BusinessFactory, SeasonFactory
from tests.factories.yards import (
    ColonyFactory,
    LookFactory,
    TaskFactory,
    TaskRuleFactory,
    TreatmentFactory,
    VisitFactory,
    YardFactory,
)

pytestmark = pytest.mark.django_db
THIRD, TENTH, TWENTIETH = date(2027, 4, 3), date(2027, 4, 10), date(2027, 4, 20)


@pytest.fixture
def rules():
    BusinessFactory()
    services.install_task_rules()


@pytest.fixture
def colony(yard):
    return ColonyFactory(yard=yard, tag="C0001", boxes=2)


@pytest.fixture
def season():
    return SeasonFactory()


@pytest.fixture
def visit_on(yard, season, ada, rules):
    return lambda on: VisitFactory(yard=yard, season=season, on=on, recorded_by=ada)


@pytest.fixture
def look(yard, colony, season, ada, rules):
    """Record a look of the colony on a day and let it make its tasks."""

    def record(on, of=colony, **facts):
        visit = VisitFactory(yard=yard, season=season, on=on, recorded_by=ada)
        row = LookFactory(visit=visit, colony=of, **{"below_halves": None} | facts)
        row.made = services.tasks_from_looks(visit=visit, looks=[row], actor=ada)
        return row

    return record


def correct(look, actor, **facts):
    for name, value in facts.items():
        setattr(look, name, value)
    look.version += 1
    look.save()
    return services.tasks_from_looks(visit=look.visit, looks=[look], actor=actor)


def standing(colony):
    tasks = Task.objects.filter(colony=colony).order_by("due_on", "rule")
    return [(task.rule, task.due_on, task.done_on) for task in tasks]


def test_a_weak_colony_with_an_empty_lower_box_loses_it(look, colony):
    made = look(THIRD, below_halves=6, lower_box="empty").made

    task = Task.objects.get()
    assert made == [task]
    assert (task.what, task.rule, task.due_on, task.colony) == ("Take the lower box off", "lower_box", TENTH, colony)


@pytest.mark.parametrize(("halves", "boxes"), [(9, 2), (None, 2), (6, 1)])
def test_a_stronger_an_uncounted_or_a_single_box_keeps_what_it_has(look, colony, halves, boxes):
    colony.boxes = boxes
    colony.save()

    assert look(THIRD, below_halves=halves, lower_box="empty").made == []


@pytest.mark.parametrize(
    ("queen", "words"),
    [("none", "Requeen: queenless"), ("spotty", "Requeen: spotty brood"), ("drones", "Requeen: drone layer")],
)
def test_a_poor_queen_is_to_be_replaced(look, queen, words):
    look(THIRD, queen=queen)

    assert Task.objects.get().what == words


def test_each_need_makes_one_task_however_often_it_is_seen(look):
    first = look(THIRD, patty="gone")
    look(TENTH, patty="gone")

    assert Task.objects.get().source == f"look:{first.pk}"


def test_asking_twice_makes_no_second_task(look, ada):
    row = look(THIRD, patty="gone", cells="seen")

    assert services.tasks_from_looks(visit=row.visit, looks=[row], actor=ada) == []
    assert Task.objects.count() == 2


def test_a_tap_does_what_an_earlier_look_asked_for(look, ada):
    look(THIRD, patty="gone")
    look(TENTH, patty_given=True, patty="gone")

    task = Task.objects.get()
    assert (task.done_on, task.done_by) == (TENTH, ada)


def test_each_answer_on_cells_does_the_check_and_cells_left_ask_for_the_next(look, colony):
    look(THIRD, cells="seen")
    look(TENTH, cells="seen")
    look(TWENTIETH, cells="none")

    assert standing(colony) == [("cells", date(2027, 4, 11), TENTH), ("cells", date(2027, 4, 18), TWENTIETH)]


def test_a_patty_seen_since_takes_the_task_back(look):
    look(THIRD, patty="gone")
    look(TENTH, patty="plenty")

    assert Task.objects.count() == 0


def test_a_queen_seen_takes_back_the_missing_one_not_the_spotty_one(look, yard):
    spotty = ColonyFactory(yard=yard)
    look(THIRD, queen="none")
    look(THIRD, of=spotty, queen="spotty")

    look(TENTH, queen="seen")
    look(TENTH, of=spotty, queen="seen")

    assert Task.objects.get().colony == spotty


def test_what_was_done_by_hand_is_asked_for_again_only_by_a_later_look(look, colony, ada):
    look(THIRD, patty="gone")
    services.finish_task(task_id=Task.objects.get().pk, on=TENTH, actor=ada)

    look(TENTH, patty="gone")
    look(TWENTIETH, patty="gone")

    assert standing(colony) == [("patty", TENTH, TENTH), ("patty", date(2027, 4, 27), None)]


def test_a_corrected_look_takes_back_its_open_task(look, ada):
    row = look(THIRD, patty="gone")

    correct(row, ada, patty="half")

    assert Task.objects.count() == 0
    assert Task.history.filter(history_type="-").get().history_user == ada


def test_a_later_look_keeps_the_need_that_a_correction_takes_back(look, ada):
    row = look(THIRD, patty="gone")
    later = look(TENTH, patty="gone")

    correct(row, ada, patty="half")

    assert Task.objects.get().source == f"look:{later.pk}"


def test_a_lower_box_recorded_off_is_done_and_mended_is_to_do_again(visit_on, colony, ada):
    services.record_look(
        visit_id=visit_on(THIRD).pk,
        look=services.LookDraft(colony.pk, below_halves=6, lower_box="empty"),
        actor=ada,
    )
    taken = services.record_look(
        visit_id=visit_on(TENTH).pk, look=services.LookDraft(colony.pk, below_halves=6, lower_box_off=True), actor=ada
    ).looks[0]
    done = standing(colony)

    services.correct_look(look_id=taken.pk, version=1, changes={"lower_box_off": False}, actor=ada)

    assert (done, standing(colony)) == ([("lower_box", TENTH, TENTH)], [("lower_box", TENTH, None)])


def test_a_tap_taken_back_opens_the_task_again(look, colony, ada):
    look(THIRD, lower_box="empty", below_halves=6)
    row = look(TENTH, lower_box_off=True)

    correct(row, ada, lower_box_off=False, note="not yet")

    assert standing(colony) == [("lower_box", TENTH, None)]


def test_a_tap_taken_back_after_the_colony_moved_opens_the_task_where_it_stands(look, colony, ada):
    look(THIRD, lower_box="empty", below_halves=6)
    row, there = look(TENTH, lower_box_off=True), YardFactory()
    services.move_colony(colony_id=colony.pk, yard_id=there.pk, position=None, actor=ada)

    correct(row, ada, lower_box_off=False, note="not yet")

    task = Task.objects.get()
    assert (task.done_on, task.yard) == (None, there)


def test_a_tap_taken_back_asks_nothing_of_a_colony_that_ended(look, colony, ada):
    look(THIRD, lower_box="empty", below_halves=6)
    row = look(TENTH, lower_box_off=True)
    services.end_colony(colony_id=colony.pk, state="lost", on=TENTH, today=TENTH, cause="starved", actor=ada)

    correct(row, ada, lower_box_off=False, note="not yet")

    assert standing(colony) == [("lower_box", TENTH, TENTH)]


def test_a_task_from_elsewhere_is_done_by_the_look_of_its_time(look, colony, season, yard, ada):
    shared = {"colony": colony, "yard": yard, "season": season, "rule": "cells"}
    due = TaskFactory(**shared, source="full:C0001:2027-04-12", due_on=date(2027, 4, 12))
    later = TaskFactory(**shared, source="full:C0001:2027-04-25", due_on=date(2027, 4, 25))

    row = look(TENTH, cells="none")

    due.refresh_from_db()
    later.refresh_from_db()
    assert (due.done_on, later.done_on) == (TENTH, None)
    correct(row, ada, cells="")
    due.refresh_from_db()
    assert due.done_on is None


def test_a_rule_turned_off_makes_nothing(look):
    TaskRuleFactory(code="patty").delete()

    assert look(THIRD, patty="gone").made == []


def test_a_colony_that_ended_since_gets_no_new_work(look, colony, ada):
    services.end_colony(colony_id=colony.pk, state="lost", on=TENTH, today=TENTH, cause="starved", actor=ada)

    assert look(THIRD, patty="gone").made == []


def test_where_hive_beetle_is_about_a_patty_is_small(look):
    Business.objects.update(has_hive_beetle=True)

    look(THIRD, patty="gone")

    assert Task.objects.get().what == "Give a patty, no more than they eat in 5 to 7 days"


def test_looks_in_any_order_leave_the_same_tasks(yard, season, ada, rules):
    seen = [
        (THIRD, {"patty": "gone", "queen": "none", "lower_box": "empty", "below_halves": 6}),
        (TENTH, {"patty_given": True, "queen": "seen", "cells": "seen"}),
        (TWENTIETH, {"patty": "gone", "lower_box_off": True, "cells": "cut"}),
    ]
    outcomes = set()

    for order in permutations(seen):
        colony = ColonyFactory(yard=yard)
        for on, facts in order:
            visit = VisitFactory(yard=yard, season=season, on=on, recorded_by=ada)
            row = LookFactory(visit=visit, colony=colony, **facts)
            services.tasks_from_looks(visit=visit, looks=[row], actor=ada)
        outcomes.add(tuple(standing(colony)))

    assert outcomes == {
        (
            ("lower_box", TENTH, TWENTIETH),
            ("patty", TENTH, TENTH),
            ("cells", date(2027, 4, 18), TWENTIETH),
            ("patty", date(2027, 4, 27), None),
        )
    }


def test_a_whole_yard_takes_a_fixed_number_of_queries(yard, season, ada, rules, django_assert_max_num_queries):
    visit = VisitFactory(yard=yard, season=season, on=THIRD, recorded_by=ada)
    rows = [LookFactory(visit=visit, colony=ColonyFactory(yard=yard), patty="gone") for _colony in range(40)]

    with django_assert_max_num_queries(18):
        made = services.tasks_from_looks(visit=visit, looks=rows, actor=ada)

    assert len(made) == 40


def test_strips_pulled_end_the_colonys_treatment(look, colony, yard, season, ada):
    treatment = TreatmentFactory(yard=yard, colony=colony)
    task = TaskFactory(yard=yard, colony=colony, season=season, rule="strips", source=f"treatment:{treatment.pk}")

    row = look(THIRD, strips_pulled=True)

    treatment.refresh_from_db()
    task.refresh_from_db()
    assert (treatment.ended_on, task.done_on) == (THIRD, THIRD)
    correct(row, ada, strips_pulled=False, note="other colony")
    treatment.refresh_from_db()
    task.refresh_from_db()
    assert (treatment.ended_on, task.done_on) == (None, None)


def test_a_yards_treatment_ends_with_the_last_colonys_strips(look, colony, yard):
    other = ColonyFactory(yard=yard)
    ColonyFactory(yard=yard, started_on=date(2027, 3, 1))  # came after the treatment
    treatment = TreatmentFactory(yard=yard)

    look(TENTH, strips_pulled=True)
    treatment.refresh_from_db()
    half_way = treatment.ended_on
    look(THIRD, of=other, strips_pulled=True)

    treatment.refresh_from_db()
    assert (half_way, treatment.ended_on) == (None, TENTH)


def test_a_treatment_opened_again_after_its_colony_moved_is_where_the_colony_stands(look, colony, yard, season, ada):
    treatment, there = TreatmentFactory(yard=yard, colony=colony), YardFactory()
    task = TaskFactory(yard=yard, colony=colony, season=season, rule="strips", source=f"treatment:{treatment.pk}")
    row = look(THIRD, strips_pulled=True)
    services.move_colony(colony_id=colony.pk, yard_id=there.pk, position=None, actor=ada)

    correct(row, ada, strips_pulled=False, note="other colony")

    treatment.refresh_from_db()
    task.refresh_from_db()
    assert (treatment.ended_on, treatment.yard, task.done_on, task.yard) == (None, there, None, there)
