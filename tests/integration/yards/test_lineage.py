"""Where colonies come from and where they end: split from one, united into another."""

from datetime import date

import pytest
from django.db import IntegrityError, transaction

from apiary_ops.core.history import history_rows
from apiary_ops.core.once import AlreadyDone
from apiary_ops.core.versions import StaleRecord
from apiary_ops.yards import queries, services
from apiary_ops.yards.models import Colony, Task
from apiary_ops.yards.services import ColonyDraft
from tests.factories.yards import (
    ColonyFactory,
    FrameMoveFactory,
    HoldFactory,
    LookFactory,
    TaskFactory,
    VisitFactory,
    YardFactory,
)

pytestmark = pytest.mark.django_db


@pytest.fixture
def parent(yard):
    return ColonyFactory(yard=yard, tag="C0001", position=1)


# --- Split.


def split(parent, today, actor, **more):
    draft = ColonyDraft("c0101", more.pop("on", today), boxes=1, queen_year=2027, queen_origin=" own cells ")
    return services.split_colony(parent_id=parent.pk, colony=draft, today=today, actor=actor, **more)


def test_a_split_names_its_parent_and_stands_beside_it(parent, today, ada):
    made = split(parent, today, ada, brood_frames=3, food_frames=1)

    made.refresh_from_db()
    assert (made.tag, made.yard, made.position, made.started_on) == ("C0101", parent.yard, 2, today)
    assert (made.split_from, made.queen_origin) == (parent, "own cells")
    (moved,) = queries.frame_moves_of([made.pk])
    assert (moved.from_colony, moved.words) == (parent, "3 frames of brood and 1 frame of food, with bees")


def test_a_split_may_stand_in_another_yard_and_need_no_frames(parent, today, ada):
    there = YardFactory(name="Far Field")

    made = split(parent, today, ada, yard_id=there.pk)

    assert (made.yard, made.position) == (there, 1)
    assert list(queries.frame_moves()) == []


def test_a_form_sent_twice_splits_once(parent, today, ada):
    key = "0b7e5f3c-6a5e-4a0f-9a7e-0d8a0e7d3a11"
    split(parent, today, ada, once_key=key)

    with pytest.raises(AlreadyDone) as refusal:
        split(parent, today, ada, once_key=key)

    assert refusal.value.result == "colony:C0101"
    assert Colony.objects.filter(split_from=parent).count() == 1


def test_a_colony_on_hold_is_not_split(parent, today, ada):
    HoldFactory(yard=parent.yard, colony=parent, reason="odd brood")

    with pytest.raises(services.NothingMoves, match=r"^C0001 is on hold \(odd brood\): C0001 cannot be split\."):
        split(parent, today, ada)


def test_a_split_does_not_go_to_a_yard_on_hold(parent, today, ada):
    there = YardFactory(name="Far Field")
    HoldFactory(yard=there)

    with pytest.raises(services.NothingMoves, match="Far Field is on hold: nothing moves in or out"):
        split(parent, today, ada, yard_id=there.pk)


def test_a_refused_split_leaves_no_colony_behind(parent, today, ada):
    with pytest.raises(services.NoFrames):
        split(parent, today, ada, brood_frames=11)

    assert list(Colony.objects.all()) == [parent]


def test_a_colony_is_not_split_before_it_was_there_or_after_it_ended(yard, today, ada):
    young = ColonyFactory(yard=yard, tag="C0009", started_on=date(2027, 4, 10))
    dead = ColonyFactory(yard=yard, state="lost", ended_on=date(2027, 4, 1))

    with pytest.raises(
        services.SplitBeforeStart, match=r"^C0009 started on Sat 10 Apr 2027\. It cannot have been split"
    ):
        split(young, today, ada, on=date(2027, 4, 9))
    with pytest.raises(services.AlreadyEnded):
        split(dead, today, ada)


# --- United.


def unite(colony, into, today, actor, **more):
    values = {"on": today} | more
    return services.unite_colonies(colony_id=colony.pk, into_id=into.pk, today=today, actor=actor, **values)


@pytest.fixture
def weak(yard):
    return ColonyFactory(yard=yard, tag="C0002", position=2)


def test_a_united_colony_names_the_other_and_frees_its_position(parent, weak, yard, today, ada):
    unite(weak, parent, today, ada)

    weak.refresh_from_db()
    assert (weak.state, weak.ended_on, weak.united_into) == ("united", today, parent)
    assert weak.loss_cause == "united into C0001"
    assert {change.after for change in history_rows(weak)[0].changes} >= {"united", "C0001"}
    assert services.add_colony(yard_id=yard.pk, tag="B1", position=2, started_on=today, today=today, actor=ada)


def test_uniting_may_say_why(parent, weak, today, ada):
    assert unite(weak, parent, today, ada, because=" queenless ").loss_cause == "queenless"


def test_a_colony_is_united_with_another_of_its_yard(parent, weak, today, ada):
    there = ColonyFactory(yard=YardFactory(name="Far Field"), tag="F1")

    with pytest.raises(services.SameColony, match="cannot be united with itself"):
        unite(weak, weak, today, ada)
    with pytest.raises(services.TwoYards) as refusal:
        unite(weak, there, today, ada)

    assert str(refusal.value) == (
        "C0002 stands in Mill Lane and F1 in Far Field. Move it there first, then unite them."
    )


@pytest.mark.parametrize("held", ["C0001", "C0002"])
def test_nothing_is_united_while_either_is_on_hold(held, parent, weak, yard, today, ada):
    HoldFactory(yard=yard, colony=Colony.objects.get(tag=held), reason="odd brood")

    with pytest.raises(services.NothingMoves, match=rf"^{held} is on hold \(odd brood\): {held} cannot be united\."):
        unite(weak, parent, today, ada)


def test_nothing_is_united_with_what_ended(weak, yard, today, ada):
    dead = ColonyFactory(yard=yard, tag="D1", state="lost", ended_on=date(2027, 4, 1))

    with pytest.raises(services.AlreadyEnded, match="D1 ended on Thu 1 Apr 2027"):
        unite(weak, dead, today, ada)
    with pytest.raises(services.AlreadyEnded):
        unite(dead, weak, today, ada)


def test_uniting_has_a_day_that_can_be(parent, weak, yard, today, ada):
    LookFactory(visit=VisitFactory(yard=yard, on=date(2027, 4, 3)), colony=weak)

    with pytest.raises(services.FutureDay):
        unite(weak, parent, today, ada, on=date(2027, 4, 13))
    with pytest.raises(services.LookedAtLater, match="C0002 was still looked at on Sat 3 Apr 2027"):
        unite(weak, parent, today, ada, on=date(2027, 4, 2))
    with pytest.raises(services.EndedBeforeStart, match="C0002 started on Mon 1 Jun 2026"):
        unite(weak, parent, today, ada, on=date(2026, 5, 31))


def test_a_colony_did_not_end_before_it_gave_frames(parent, weak, today, ada):
    FrameMoveFactory(from_colony=weak, to_colony=parent, on=date(2027, 4, 10))

    with pytest.raises(services.FramesMovedLater) as refusal:
        unite(weak, parent, today, ada, on=date(2027, 4, 9))

    assert str(refusal.value) == ("C0002 still gave or took frames on Sat 10 Apr 2027. Choose that day or a later one.")
    assert unite(weak, parent, today, ada, on=date(2027, 4, 10)).state == "united"


def test_a_colony_changed_meanwhile_is_not_united(parent, weak, today, ada):
    with pytest.raises(StaleRecord):
        unite(weak, parent, today, ada, version=7)


# --- What ends with a colony.


def test_what_rules_asked_of_a_colony_ends_with_it(parent, weak, yard, today, ada):
    TaskFactory(yard=yard, colony=weak, rule="requeen")
    by_hand = TaskFactory(yard=yard, colony=weak, what="Clean the boxes")

    unite(weak, parent, today, ada)

    assert list(Task.objects.all()) == [by_hand]


def lose(colony, today, actor, cause):
    values = {"state": "lost", "on": today, "today": today, "cause": cause, "actor": actor}
    return services.end_colony(colony_id=colony.pk, **values)


def test_a_loss_to_suspected_disease_holds_the_yard_once(parent, weak, yard, today, ada):
    lose(weak, today, ada, "disease suspected")
    lose(parent, today, ada, "disease suspected")

    (hold,) = queries.open_holds_of(yard_id=yard.pk)
    assert (hold.reason, hold.starts_on) == ("disease suspected in C0002, which died", today)


def test_another_loss_holds_nothing(weak, yard, today, ada):
    lose(weak, today, ada, "starved")

    assert not queries.open_holds_of(yard_id=yard.pk).exists()


# --- What the database refuses behind the services.


def test_the_database_unites_no_colony_with_itself(weak, today):
    with pytest.raises(IntegrityError, match="only_a_united_colony_names_the_other"), transaction.atomic():
        Colony.objects.filter(pk=weak.pk).update(state="united", ended_on=today, united_into=weak)
