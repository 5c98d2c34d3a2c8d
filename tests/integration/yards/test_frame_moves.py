"""Frames moved between colonies: never out of or into disease, never forgotten."""

from datetime import date

import pytest
from django.db import IntegrityError, transaction

from apiary_ops.core.history import history_rows
from apiary_ops.core.once import AlreadyDone
from apiary_ops.yards import queries, services
from apiary_ops.yards.models import FrameMove
from tests.factories.yards import ColonyFactory, FrameMoveFactory, HoldFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def giver(yard):
    return ColonyFactory(yard=yard, tag="C0001")


@pytest.fixture
def taker(yard):
    return ColonyFactory(yard=yard, tag="C0002")


def move(giver, taker, today, actor, **more):
    values = {"on": today, "brood_frames": 2} | more
    return services.move_frames(from_id=giver.pk, to_id=taker.pk, today=today, actor=actor, **values)


# --- Moved.


def test_frames_go_from_one_colony_to_another(giver, taker, today, ada):
    moved = move(giver, taker, today, ada, food_frames=1, with_bees=True)

    moved.refresh_from_db()
    assert (moved.from_colony, moved.to_colony, moved.on, moved.moved_by) == (giver, taker, today, ada)
    assert moved.words == "2 frames of brood and 1 frame of food, with bees"
    assert history_rows(moved)[0].who == "Ada Fell"


def test_a_frame_of_food_alone_may_go_to_another_yard(giver, today, ada):
    moved = move(giver, ColonyFactory(), today, ada, brood_frames=0, food_frames=1)

    assert moved.words == "1 frame of food"


def test_a_form_sent_twice_moves_frames_once(giver, taker, today, ada):
    key = "0b7e5f3c-6a5e-4a0f-9a7e-0d8a0e7d3a11"
    moved = move(giver, taker, today, ada, once_key=key)

    with pytest.raises(AlreadyDone) as refusal:
        move(giver, taker, today, ada, once_key=key)

    assert refusal.value.result == f"frames:{moved.pk}"
    assert FrameMove.objects.count() == 1


def test_frames_do_not_move_from_a_colony_to_itself(giver, today, ada):
    with pytest.raises(services.SameColony, match=r"^Frames move from one colony to another\. Choose two\.$"):
        move(giver, giver, today, ada)


@pytest.mark.parametrize(("brood", "food"), [(0, 0), (11, 0), (2, 11), (2, -1)])
def test_a_move_moves_frames_and_no_more_than_a_box_holds(brood, food, giver, taker, today, ada):
    with pytest.raises(services.NoFrames, match=r"^Say how many frames moved, at most 10 of each\.$"):
        move(giver, taker, today, ada, brood_frames=brood, food_frames=food)


def test_frames_do_not_move_in_the_future(giver, taker, today, ada):
    with pytest.raises(services.FutureDay, match="A move of frames cannot be recorded before it happens"):
        move(giver, taker, today, ada, on=date(2027, 4, 13))


def test_frames_did_not_move_before_a_colony_was_there(giver, yard, today, ada):
    late = ColonyFactory(yard=yard, tag="C0009", started_on=today)

    with pytest.raises(services.MovedBeforeStart) as refusal:
        move(giver, late, today, ada, on=date(2027, 4, 11))

    assert str(refusal.value) == ("C0009 started on Mon 12 Apr 2027. It cannot have given or taken frames before.")


# --- Holds and the dead.


def test_a_yard_on_hold_gives_no_frames(giver, today, ada):
    HoldFactory(yard=giver.yard, reason="brood disease suspected", starts_on=today)

    with pytest.raises(services.NothingMoves) as refusal:
        move(giver, ColonyFactory(), today, ada)

    assert str(refusal.value) == (
        "Mill Lane is on hold (brood disease suspected): C0001 cannot give frames. Ask the inspector first."
    )


def test_a_yard_on_hold_takes_no_frames(taker, today, ada):
    HoldFactory(yard=taker.yard, reason="brood disease suspected")

    with pytest.raises(services.NothingMoves, match="Mill Lane is on hold .*: C0002 cannot take frames"):
        move(ColonyFactory(), taker, today, ada)


def test_a_colony_on_hold_gives_nothing_to_its_neighbour(giver, taker, today, ada):
    HoldFactory(yard=giver.yard, colony=giver, reason="odd brood")

    with pytest.raises(services.NothingMoves, match=r"^C0001 is on hold \(odd brood\): C0001 cannot give frames"):
        move(giver, taker, today, ada)
    with pytest.raises(services.NothingMoves, match="C0001 cannot take frames"):
        move(taker, giver, today, ada)


def test_what_moved_before_the_hold_is_still_taken_for_the_trace(giver, taker, today, ada):
    HoldFactory(yard=giver.yard, starts_on=date(2027, 4, 10))

    moved = move(giver, taker, today, ada, on=date(2027, 4, 9))

    assert list(queries.frame_moves_of([giver.pk])) == [moved]


def test_a_dead_colony_gives_nothing_from_its_last_day(yard, taker, today, ada):
    dead = ColonyFactory(yard=yard, tag="D1", state="lost", ended_on=date(2027, 4, 10))

    with pytest.raises(services.AlreadyEnded) as refusal:
        move(dead, taker, today, ada, on=date(2027, 4, 10))
    earlier = move(dead, taker, today, ada, on=date(2027, 4, 9))

    assert str(refusal.value) == (
        "D1 ended on Sat 10 Apr 2027: it cannot give frames. Keep its frames shut away until the cause is known."
    )
    assert earlier.on == date(2027, 4, 9)


# --- Struck.


def test_a_move_recorded_by_mistake_is_struck_and_stays_to_be_read(giver, taker, today, ada):
    moved = FrameMoveFactory(from_colony=giver, to_colony=taker)

    services.strike_frame_move(move_id=moved.pk, because=" the other way round ", on=today, actor=ada)

    moved.refresh_from_db()
    assert (moved.struck_on, moved.struck_because) == (today, "the other way round")
    assert list(queries.frame_moves_of([giver.pk])) == []
    assert list(queries.frame_moves()) == [moved]


def test_a_move_is_struck_once_and_with_a_reason(today, ada):
    moved = FrameMoveFactory()
    with pytest.raises(services.ReasonMissing, match="Say what was wrong with it"):
        services.strike_frame_move(move_id=moved.pk, because=" ", on=today, actor=ada)
    services.strike_frame_move(move_id=moved.pk, because="twice", on=today, actor=ada)

    with pytest.raises(services.MoveAlreadyStruck, match=r"^This move was already struck on Mon 12 Apr 2027\.$"):
        services.strike_frame_move(move_id=moved.pk, because="twice", on=today, actor=ada)


def test_the_database_neither_changes_nor_forgets_a_move(taker):
    moved = FrameMoveFactory()

    with pytest.raises(IntegrityError, match="A frame move never changes"), transaction.atomic():
        FrameMove.objects.filter(pk=moved.pk).update(to_colony=taker)
    with pytest.raises(IntegrityError, match="A frame move is never deleted"), transaction.atomic():
        FrameMove.objects.filter(pk=moved.pk).delete()


# --- Read.


def test_moves_of_colonies_come_latest_first_from_a_day_on(giver, taker, yard):
    first = FrameMoveFactory(from_colony=giver, to_colony=taker, on=date(2027, 4, 1))
    second = FrameMoveFactory(from_colony=taker, to_colony=giver, on=date(2027, 4, 8))
    FrameMoveFactory(from_colony=ColonyFactory(yard=yard), to_colony=ColonyFactory(yard=yard))

    assert list(queries.frame_moves_of([giver.pk])) == [second, first]
    assert list(queries.frame_moves_of([giver.pk], since=date(2027, 4, 2))) == [second]
    assert list(queries.frame_moves_of([])) == []
