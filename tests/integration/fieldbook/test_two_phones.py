"""Two phones at one yard: one visit, one crew, and a question wherever they disagree."""

from datetime import UTC, date, datetime, time
from decimal import Decimal

import pytest
from django.db import transaction

from apiary_ops.fieldbook.models import Record
from apiary_ops.fieldbook.services import Outcome
from apiary_ops.yards.models import Colony, FrameMove, Look, Visit
from apiary_ops.yards.services import edit_visit
from tests.factories.yards import LookFactory, TaskFactory

pytestmark = pytest.mark.django_db
EARLIER = "2027-04-03T09:00:00-03:00"
LATER = "2027-04-03T10:00:00-03:00"


@pytest.fixture
def shared(tove, ib):
    """One visit by two phones; its records, Tove's first."""
    visits = tove.visit(), ib.visit()
    tove.send(visits[0])
    ib.send(visits[1])
    return visits


def test_two_phones_at_one_yard_on_one_day_make_one_visit(tove, ib):
    tove.send(tove.visit(arrived="09:15", temperature_c="6.0", km=64) | {"observed_at": LATER})

    outcome = ib.send(ib.visit(arrived="09:10", temperature_c="7.5", km=70, sky="") | {"observed_at": EARLIER})[0]

    there = Visit.objects.get()
    assert outcome == Outcome(outcome.key, "landed", "Joined the visit of Tove Brook to Mill Lane.")
    assert set(there.crew.all()) == {tove.user, ib.user}
    assert (there.people, there.km, there.arrived_at) == (2, 70, time(9, 10))
    assert (there.temperature_c, there.sky) == (Decimal("7.5"), "cloud")


def test_what_the_desk_mended_stays_mended_when_another_phone_joins(tove, ib):
    tove.send(tove.visit(temperature_c="7.0"))
    there = Visit.objects.get()
    edit_visit(visit_id=there.pk, version=there.version, changes={"temperature_c": Decimal("5.0")}, actor=tove.user)

    ib.send(ib.visit(temperature_c="6.0") | {"observed_at": LATER})

    assert Visit.objects.get().temperature_c == Decimal("5.0")


@pytest.mark.parametrize(("temperature", "visits"), [("9.0", 1), ("9.5", 2), (None, 1)])
def test_thermometers_more_than_three_degrees_apart_are_two_visits(temperature, visits, tove, ib):
    tove.send(tove.visit(temperature_c="6.0"))

    ib.send(ib.visit(temperature_c=temperature))

    assert Visit.objects.count() == visits


def test_one_phone_that_comes_twice_makes_two_visits(tove):
    assert tove.states(tove.visit(), tove.visit(arrived="16:00")) == ["landed", "landed"]
    assert Visit.objects.count() == 2


def test_a_visit_typed_in_at_the_desk_is_not_joined(tove, yard, season):
    LookFactory(visit__yard=yard, visit__season=season, visit__on=date(2027, 4, 3))

    tove.send(tove.visit())

    assert Visit.objects.count() == 2


def test_the_same_look_by_two_people_is_one_look(tove, ib, shared):
    tove.send(tove.look(shared[0], below_halves=11, patty="half"))

    states = ib.states(ib.look(shared[1], below_halves=11, patty="half"))

    assert states == ["landed"]
    assert Look.objects.count() == 1


def test_another_look_at_the_same_colony_is_a_question_and_no_overwrite(tove, ib, shared):
    tove.send(tove.look(shared[0], below_halves=11))

    outcome = ib.send(ib.look(shared[1], below_halves=7))[0]

    assert outcome == Outcome(outcome.key, "question", "Tove Brook already said otherwise of A1 on this visit.")
    assert Look.objects.get().below_halves == 11
    assert Record.objects.get(pk=outcome.key).payload == {"tag": "A1", "below_halves": 7}


def test_a_look_typed_in_at_the_desk_is_not_overwritten_either(tove):
    visit = tove.visit()
    tove.send(visit)
    LookFactory(visit=Visit.objects.get(), colony=Colony.objects.get(tag="A1"), below_halves=11)

    outcome = tove.send(tove.look(visit, below_halves=7))[0]

    assert outcome == Outcome(
        outcome.key, "question", "Someone at the desk already said otherwise of A1 on this visit."
    )


def test_a_later_look_by_the_same_phone_corrects_its_own(tove):
    visit = tove.visit()
    tove.send(visit, tove.look(visit, below_halves=11) | {"observed_at": EARLIER})

    states = tove.states(tove.look(visit, below_halves=8) | {"observed_at": LATER})

    look = Look.objects.get()
    assert (states, look.below_halves, look.history.count()) == (["landed"], 8, 2)


def test_an_earlier_look_by_the_same_phone_that_comes_late_changes_nothing(tove):
    visit = tove.visit()
    tove.send(visit, tove.look(visit, below_halves=8) | {"observed_at": LATER})

    outcome = tove.send(tove.look(visit, below_halves=11) | {"observed_at": EARLIER})[0]

    assert outcome == Outcome(outcome.key, "landed", "The same phone looked again later; that stands.")
    assert Look.objects.get().below_halves == 8


def test_a_second_look_of_one_phone_adds_to_its_first_in_either_order(tove):
    visit = tove.visit()
    first = tove.look(visit, below_halves=11, patty="half") | {"observed_at": EARLIER}
    second = tove.look(visit, cells="seen", patty="gone") | {"observed_at": LATER}

    for order in ([first, second], [second, first]):
        with transaction.atomic():
            tove.send(visit, *order)
            look = Look.objects.get()
            transaction.set_rollback(True)

        assert (look.below_halves, look.patty, look.cells) == (11, "gone", "seen")
        assert look.observed_at == datetime(2027, 4, 3, 13, tzinfo=UTC)


def test_once_two_people_agreed_neither_corrects_alone(tove, ib, shared):
    tove.send(tove.look(shared[0], below_halves=11))
    ib.send(ib.look(shared[1], below_halves=11))

    outcome = tove.send(tove.look(shared[0], below_halves=8) | {"observed_at": LATER})[0]

    assert outcome == Outcome(
        outcome.key, "question", "Ib Fell, Tove Brook already said otherwise of A1 on this visit."
    )


def test_a_colony_found_dead_twice_died_once(tove, ib, shared):
    tove.send(tove.record("lost", {"tag": "C3", "cause": "starved"}, shared[0]["key"]))

    same, other = ib.send(
        ib.record("lost", {"tag": "C3", "cause": "starved"}, shared[1]["key"]),
        ib.record("lost", {"tag": "C3", "cause": "mice"}, shared[1]["key"]),
    )

    assert same.state == "landed"
    assert (other.state, other.words) == (
        "question",
        "Ib Fell, Tove Brook already said that C3 is lost: starved.",
    )


def test_one_phone_may_think_better_of_a_cause_and_of_what_was_used(tove):
    visit = tove.visit()

    states = tove.states(
        visit,
        tove.record("lost", {"tag": "C3", "cause": "starved"}, visit["key"]) | {"observed_at": EARLIER},
        tove.record("lost", {"tag": "C3", "cause": "mice"}, visit["key"]) | {"observed_at": LATER},
        leave(tove, visit, "11:00", ("patty", "12")) | {"observed_at": LATER},
        leave(tove, visit, "10:50", ("patty", "10")) | {"observed_at": EARLIER},
    )

    assert states == ["landed"] * 5
    assert Colony.objects.get(tag="C3").loss_cause == "mice"
    assert Visit.objects.get().materials.get().quantity == Decimal("12")


def test_a_look_and_a_loss_of_one_day_both_land_in_either_order(tove, ib, shared):
    tove.send(tove.record("lost", {"tag": "C3", "cause": "starved"}, shared[0]["key"]))
    ib.send(ib.record("lost", {"tag": "B2", "cause": "starved"}, shared[1]["key"]) | {"observed_at": LATER})

    assert ib.states(ib.look(shared[1], "C3", below_halves=1)) == ["landed"]
    assert Colony.objects.get(tag="C3").state == "lost"


def test_a_task_done_by_two_people_is_done_once(tove, ib, shared, yard, season):
    task = TaskFactory(yard=yard, season=season)
    tove.send(tove.record("task_done", {"task": task.pk}, shared[0]["key"]))

    outcome = ib.send(ib.record("task_done", {"task": task.pk}, shared[1]["key"]))[0]

    task.refresh_from_db()
    assert outcome == Outcome(outcome.key, "landed", "It was already done on Sat 3 Apr 2027.")
    assert task.done_by == tove.user


def leave(phone, visit, left, *used, jobs=("look",)):
    materials = [{"material": material, "quantity": quantity} for material, quantity in used]
    return phone.record("leave", {"left": left, "jobs": list(jobs), "materials": materials}, visit["key"])


def test_two_who_leave_add_their_jobs_and_the_last_sets_the_time(tove, ib, shared):
    tove.send(leave(tove, shared[0], "11:00", jobs=["look"]))

    states = ib.states(leave(ib, shared[1], "10:45", ("patty", "12"), jobs=["feed"]))

    there = Visit.objects.get()
    assert (states, there.left_at, there.minutes) == (["landed"], time(11, 0), 105)
    assert sorted(there.jobs_done.values_list("job", flat=True)) == ["feed", "look"]
    assert there.materials.get().quantity == Decimal("12")


def test_what_two_people_note_as_used_is_not_counted_twice(tove, ib, shared):
    tove.send(leave(tove, shared[0], "11:00", ("patty", "12")))

    same, other = ib.send(
        leave(ib, shared[1], "11:00", ("patty", "12.00")), leave(ib, shared[1], "11:00", ("patty", "10"))
    )

    assert same.state == "landed"
    assert (other.state, other.words) == (
        "question",
        "Ib Fell, Tove Brook noted other materials for this visit. If both were used, mend the visit by hand.",
    )
    assert Visit.objects.get().materials.get().quantity == Decimal("12")


def test_a_second_tally_that_differs_is_a_question(tove, ib, shared):
    tove.send(tove.record("tally", {"counts": {"best": 2}, "dead": 1}, shared[0]["key"]))

    states = ib.states(
        ib.record("tally", {"counts": {"best": 2, "slow": 0}, "dead": 1}, shared[1]["key"]),
        ib.record("tally", {"counts": {"best": 1}, "dead": 2}, shared[1]["key"]),
    )

    assert states == ["landed", "question"]


def test_the_same_move_noted_by_two_people_is_a_question_and_two_of_one_phone_are_two(tove, ib, shared):
    move = {"from": "A1", "to": "B2", "brood": 1}
    own = tove.states(tove.record("frames", move, shared[0]["key"]), tove.record("frames", move, shared[0]["key"]))

    outcome = ib.send(ib.record("frames", move, shared[1]["key"]))[0]

    assert own == ["landed", "landed"]
    assert (outcome.state, outcome.words) == (
        "question",
        "Tove Brook already noted frames from A1 to B2 that day. If these are others, let both stand.",
    )
    assert FrameMove.objects.count() == 2


def test_frames_noted_after_disease_was_suspected_wait_for_a_person(tove, ib, shared):
    tove.send(tove.look(shared[0], suspect_disease=True))

    outcome = ib.send(ib.record("frames", {"from": "A1", "to": "B2", "brood": 1}, shared[1]["key"]))[0]

    assert outcome.state == "refused"
    assert outcome.words.startswith("Mill Lane is on hold (disease suspected in A1)")
