"""Two people in one yard: a holder and a waiter each."""

from datetime import date, timedelta

import pytest

from apiary_ops.business import stamps
from apiary_ops.yards import services
from apiary_ops.yards.models import DISEASE_SUSPECTED, FrameMove, Hold, Look
from apiary_ops.yards.services import LookDraft
from tests.factories.business import SeasonFactory
from tests.factories.people import UserFactory
from tests.factories.yards import (
    ColonyFactory,
    HoldFactory,
    TaskFactory,
    TreatmentFactory,
    VisitFactory,
    YardFactory,
)
from tests.postgres.racing import race

pytestmark = [pytest.mark.postgres, pytest.mark.django_db(transaction=True)]

DAY = date(2027, 4, 12)


@pytest.fixture
def ada():
    return UserFactory()


@pytest.fixture
def yard():
    return YardFactory(name="Mill Lane")


def test_two_who_look_at_one_colony_leave_one_look(ada, yard):
    visit, colony = VisitFactory(yard=yard), ColonyFactory(yard=yard, tag="C0001")

    def look(halves):
        return services.record_look(visit_id=visit.pk, look=LookDraft(colony.pk, below_halves=halves), actor=ada)

    first, second = race(lambda: look(11), lambda: look(12))

    assert first.looks[0].below_halves == 11
    assert isinstance(second, services.AlreadyLooked)
    assert str(second) == "C0001 was already looked at on this visit. Correct that look instead."
    assert Look.objects.get().below_halves == 11


def test_a_colony_does_not_slip_out_while_its_yard_is_put_on_hold(ada, yard):
    colony, there = ColonyFactory(yard=yard), YardFactory()

    _, second = race(
        lambda: services.place_hold(yard_id=yard.pk, reason="disease suspected", starts_on=DAY, actor=ada),
        lambda: services.move_colony(colony_id=colony.pk, yard_id=there.pk, position=None, actor=ada),
    )

    assert isinstance(second, services.NothingMoves)
    colony.refresh_from_db()
    assert colony.yard == yard


def test_two_new_colonies_do_not_take_one_position(ada, yard):
    def add(tag):
        return services.add_colony(yard_id=yard.pk, tag=tag, position=3, started_on=DAY, today=DAY, actor=ada)

    first, second = race(lambda: add("A1"), lambda: add("B1"))

    assert first.position == 3
    assert isinstance(second, services.PositionTaken)


def test_two_new_colonies_without_a_position_stand_side_by_side(ada, yard):
    def add(tag):
        return services.add_colony(yard_id=yard.pk, tag=tag, started_on=DAY, today=DAY, actor=ada)

    colonies = race(lambda: add("A1"), lambda: add("B1"))

    assert [colony.position for colony in colonies] == [1, 2]


def test_a_hold_ends_once(ada, yard):
    hold = HoldFactory(yard=yard)

    def lift(because):
        return services.lift_hold(hold_id=hold.pk, on=DAY, because=because, actor=ada)

    first, second = race(lambda: lift("inspector found nothing"), lambda: lift("results came back"))

    assert first.ended_because == "inspector found nothing"
    assert isinstance(second, services.HoldEnded)


def test_a_task_is_done_once(ada):
    task = TaskFactory()

    first, second = race(
        lambda: services.finish_task(task_id=task.pk, on=DAY, actor=ada),
        lambda: services.finish_task(task_id=task.pk, on=DAY, actor=UserFactory()),
    )

    assert first.done_by == ada
    assert isinstance(second, services.TaskAlreadyDone)


def test_no_change_of_a_season_is_lost_from_its_stamp(ada, yard):
    season = SeasonFactory(year=2027)

    def visit():
        return services.record_visit(season_id=season.pk, yard_id=yard.pk, on=DAY, today=DAY, actor=ada)

    race(visit, visit)

    assert stamps.read(season.pk, ["yards"]) == {"yards": 2}


def test_two_who_swap_one_colony_take_turns(ada, yard):
    first, second, third = (ColonyFactory(yard=yard, position=place) for place in (1, 2, 3))

    def swap(one, other):
        return services.swap_positions(first_id=one.pk, second_id=other.pk, actor=ada)

    race(lambda: swap(first, second), lambda: swap(third, first))

    places = {}
    for colony in (first, second, third):
        colony.refresh_from_db()
        places[colony.pk] = colony.position
    assert places == {first.pk: 3, second.pk: 1, third.pk: 2}


def test_no_frames_slip_out_while_a_yard_is_put_on_hold(ada, yard):
    giver, taker = ColonyFactory(yard=yard), ColonyFactory()

    _, second = race(
        lambda: services.place_hold(yard_id=yard.pk, reason="disease suspected", starts_on=DAY, actor=ada),
        lambda: services.move_frames(from_id=giver.pk, to_id=taker.pk, on=DAY, today=DAY, brood_frames=1, actor=ada),
    )

    assert isinstance(second, services.NothingMoves)
    assert not FrameMove.objects.exists()


def test_two_who_unite_colonies_into_each_other_leave_one_alive(ada, yard):
    one, other = ColonyFactory(yard=yard), ColonyFactory(yard=yard)

    def unite(colony, into):
        return services.unite_colonies(colony_id=colony.pk, into_id=into.pk, on=DAY, today=DAY, actor=ada)

    first, second = race(lambda: unite(one, other), lambda: unite(other, one))

    assert first.united_into == other
    assert isinstance(second, services.AlreadyEnded)


def test_who_waits_for_a_task_holds_no_stamp(ada, yard):
    # Whoever holds the task bumps the stamp at the end: with the stamp taken before, each would wait for the other.
    season = SeasonFactory(year=2027)
    visit, there = VisitFactory(yard=yard, season=season, on=DAY), YardFactory()
    waiting = [
        TaskFactory(yard=yard, season=season, colony=ColonyFactory(yard=yard, boxes=2), rule="lower_box")
        for _each in range(3)
    ]
    box_off, moved, lost = (task.colony_id for task in waiting)
    acts = [
        lambda: services.record_look(visit_id=visit.pk, look=LookDraft(box_off, lower_box_off=True), actor=ada),
        lambda: services.move_colony(colony_id=moved, yard_id=there.pk, position=None, actor=ada),
        lambda: services.end_colony(colony_id=lost, state="lost", on=DAY, today=DAY, cause="starved", actor=ada),
    ]

    for task, act in zip(waiting, acts, strict=True):
        outcomes = race(hold(task), act, then=bump(season))

        assert not [outcome for outcome in outcomes if isinstance(outcome, BaseException)]


def test_who_waits_for_a_yard_holds_no_stamp(ada, yard):
    season, other = SeasonFactory(year=2027), YardFactory()
    visit, looked = VisitFactory(yard=yard, season=season, on=DAY), ColonyFactory(yard=yard, boxes=2)
    lost = ColonyFactory(yard=other)
    suspect = LookDraft(looked.pk, lower_box_off=True, suspect_disease=True)
    acts = {
        yard: lambda: services.record_look(visit_id=visit.pk, look=suspect, actor=ada),
        other: lambda: services.end_colony(
            colony_id=lost.pk, state="lost", on=DAY, today=DAY, cause=DISEASE_SUSPECTED, actor=ada
        ),
    }

    for place, act in acts.items():
        outcomes = race(hold(place), act, then=bump(season))

        assert not [outcome for outcome in outcomes if isinstance(outcome, BaseException)]
        assert Hold.objects.get(yard=place).starts_on == DAY


def test_strips_taken_out_at_the_desk_and_by_a_look_at_once_come_out_once(ada, yard):
    season = SeasonFactory(year=2027)
    visit, colony = VisitFactory(yard=yard, season=season, on=DAY), ColonyFactory(yard=yard)
    treatment = TreatmentFactory(yard=yard, colony=colony, starts_on=DAY - timedelta(days=40), due_out_on=DAY)
    task = TaskFactory(yard=yard, season=season, colony=colony, rule="strips", source=f"treatment:{treatment.pk}")

    outcomes = race(
        hold(treatment),
        lambda: services.record_look(visit_id=visit.pk, look=LookDraft(colony.pk, strips_pulled=True), actor=ada),
        then=lambda: services.end_treatment(treatment_id=treatment.pk, on=DAY, today=DAY, actor=ada),
    )

    assert not [outcome for outcome in outcomes if isinstance(outcome, BaseException)]
    treatment.refresh_from_db()
    task.refresh_from_db()
    assert (treatment.ended_on, task.done_on) == (DAY, DAY)


def hold(row):
    return lambda: type(row).objects.select_for_update(no_key=True).get(pk=row.pk)


def bump(season):
    return lambda: stamps.bump(season.pk, "yards")


def test_a_colony_that_moves_at_the_same_moment_is_ended_where_it_then_stands(ada, yard):
    colony, there = ColonyFactory(yard=yard), YardFactory()

    _, ended = race(
        lambda: services.move_colony(colony_id=colony.pk, yard_id=there.pk, position=None, actor=ada),
        lambda: services.end_colony(colony_id=colony.pk, state="lost", on=DAY, today=DAY, cause="starved", actor=ada),
    )

    assert (ended.state, ended.yard) == ("lost", there)


def test_a_look_at_a_colony_that_moves_at_the_same_moment_says_where_it_then_stands(ada, yard):
    visit, colony = VisitFactory(yard=yard), ColonyFactory(yard=yard, tag="C0001")
    there = YardFactory(name="River Bend")

    _, refusal = race(
        lambda: services.move_colony(colony_id=colony.pk, yard_id=there.pk, position=None, actor=ada),
        lambda: services.record_look(visit_id=visit.pk, look=LookDraft(colony.pk, below_halves=11), actor=ada),
    )

    assert isinstance(refusal, services.AnotherYard)
    assert str(refusal) == "C0001 stands in River Bend, not in Mill Lane. Record a visit there."
