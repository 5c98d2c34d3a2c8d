"""Colonies: added, edited, moved, kept for something else, ended."""

from datetime import date

import pytest
from django.db import IntegrityError, transaction

from apiary_ops.business import stamps
from apiary_ops.core.history import history_rows
from apiary_ops.core.once import AlreadyDone
from apiary_ops.core.versions import StaleRecord
from apiary_ops.yards import services
from apiary_ops.yards.models import Colony
from apiary_ops.yards.services import ColonyDraft
from tests.factories.business import SeasonFactory
from tests.factories.yards import ColonyFactory, HoldFactory, LookFactory, VisitFactory, YardFactory

pytestmark = pytest.mark.django_db
STARTED = date(2026, 6, 1)


# --- Added.


def test_a_colony_stands_after_the_last_one_of_its_yard(yard, today, ada):
    ColonyFactory(yard=yard, position=7)
    ColonyFactory(yard=yard, position=12, state="lost", ended_on=today)

    colony = services.add_colony(yard_id=yard.pk, tag=" c0031 ", started_on=STARTED, today=today, actor=ada)

    assert (colony.tag, colony.position, colony.boxes, colony.purpose) == ("C0031", 8, 2, "nucs")
    assert history_rows(colony)[0].who == "Ada Fell"


def test_a_colony_is_added_with_what_is_known_of_its_queen(yard, today):
    colony = services.add_colony(
        yard_id=yard.pk,
        tag="B1",
        started_on=STARTED,
        today=today,
        queen_year=2026,
        queen_origin=" Hollow line ",
        queen_mark="white",
        queen_lot="26-04",
        actor=None,
    )

    colony.refresh_from_db()
    assert (colony.queen_year, colony.queen_origin, colony.queen_mark, colony.queen_lot) == (
        2026,
        "Hollow line",
        "white",
        "26-04",
    )


def test_many_colonies_are_added_in_the_order_given(yard, today):
    drafts = [ColonyDraft("A1", STARTED), ColonyDraft("A2", STARTED, position=5), ColonyDraft("A3", STARTED)]

    services.add_colonies(yard_id=yard.pk, colonies=drafts, today=today, actor=None)

    standing = Colony.objects.filter(yard=yard).order_by("position").values_list("tag", "position")
    assert list(standing) == [("A1", 1), ("A2", 5), ("A3", 6)]
    assert Colony.history.count() == 3


def test_a_tag_is_used_once(yard, today):
    ColonyFactory(tag="C0031")

    with pytest.raises(services.TagTaken, match=r"^The tag C0031 is already used\. Each colony has its own; choose"):
        services.add_colony(yard_id=yard.pk, tag="c0031", started_on=STARTED, today=today, actor=None)


def test_a_tag_given_twice_adds_nothing(yard, today):
    with pytest.raises(services.TagTaken, match="The tag A1 is already used"):
        services.add_colonies(
            yard_id=yard.pk, colonies=[ColonyDraft("A1", STARTED), ColonyDraft("a1", STARTED)], today=today, actor=None
        )

    assert Colony.objects.count() == 0


def test_two_colonies_do_not_stand_at_one_position(yard, today):
    ColonyFactory(yard=yard, position=3, tag="C0003")

    with pytest.raises(services.PositionTaken) as refusal:
        services.add_colony(yard_id=yard.pk, tag="B1", position=3, started_on=STARTED, today=today, actor=None)

    assert str(refusal.value) == "C0003 already stands at position 3 of Mill Lane. Choose another."


def test_a_colony_does_not_start_in_the_future(yard, today):
    with pytest.raises(services.FutureDay) as refusal:
        services.add_colony(yard_id=yard.pk, tag="B1", started_on=date(2027, 4, 13), today=today, actor=None)

    assert str(refusal.value) == "A colony cannot be recorded before it happens: Tue 13 Apr 2027 is still to come."


def test_a_form_sent_twice_adds_one_colony(yard, today):
    key = "0b7e5f3c-6a5e-4a0f-9a7e-0d8a0e7d3a11"
    values = {"yard_id": yard.pk, "tag": "B1", "started_on": STARTED, "today": today, "actor": None, "once_key": key}
    services.add_colony(**values)

    with pytest.raises(AlreadyDone) as refusal:
        services.add_colony(**values)

    assert refusal.value.result == "colony:B1"
    assert Colony.objects.count() == 1


def test_what_the_yards_hold_bumps_every_open_season_and_no_closed_one(yard, today):
    season, closed = SeasonFactory(year=2027), SeasonFactory(year=2025, closed_on=date(2025, 10, 1))

    services.add_colony(yard_id=yard.pk, tag="B1", started_on=STARTED, today=today, actor=None)

    assert stamps.read(season.pk, ["yards"]) == {"yards": 1}
    assert stamps.read(closed.pk, ["yards"]) == {"yards": 0}


# --- Edited.


def test_a_colony_is_edited_with_both_values_in_its_history(ada):
    colony = ColonyFactory(boxes=2)

    services.edit_colony(colony_id=colony.pk, version=1, changes={"boxes": 1, "tag": "c9"}, actor=ada)

    colony.refresh_from_db()
    assert (colony.boxes, colony.tag, colony.version) == (1, "C9", 2)
    assert [(row.label, row.before, row.after) for row in history_rows(colony)[0].changes if row.label == "boxes"] == [
        ("boxes", "2", "1")
    ]


def test_a_colony_changed_meanwhile_is_not_overwritten(ada):
    colony = ColonyFactory(version=2)

    with pytest.raises(StaleRecord):
        services.edit_colony(colony_id=colony.pk, version=1, changes={"boxes": 1}, actor=ada)


def test_a_colony_does_not_take_the_tag_of_another(ada):
    ColonyFactory(tag="C0001")
    colony = ColonyFactory(tag="C0002")

    with pytest.raises(services.TagTaken):
        services.edit_colony(colony_id=colony.pk, version=1, changes={"tag": "c0001"}, actor=ada)


# --- Moved.


def test_a_colony_moves_to_the_end_of_another_yard(yard, ada):
    ColonyFactory(yard=yard, position=4)
    colony = ColonyFactory(position=9)

    services.move_colony(colony_id=colony.pk, yard_id=yard.pk, position=None, actor=ada)

    colony.refresh_from_db()
    assert (colony.yard, colony.position) == (yard, 5)
    assert {change.after for change in history_rows(colony)[0].changes} == {"Mill Lane", "5"}


def test_a_colony_does_not_move_onto_another(yard, ada):
    ColonyFactory(yard=yard, position=4, tag="C0004")
    colony = ColonyFactory()

    with pytest.raises(services.PositionTaken, match=r"^C0004 already stands at position 4 of Mill Lane\."):
        services.move_colony(colony_id=colony.pk, yard_id=yard.pk, position=4, actor=ada)


def test_nothing_leaves_a_yard_on_hold(yard, ada):
    colony = ColonyFactory(yard=yard, tag="C0001")
    HoldFactory(yard=yard, reason="brood disease suspected")

    with pytest.raises(services.NothingMoves) as refusal:
        services.move_colony(colony_id=colony.pk, yard_id=YardFactory().pk, position=1, actor=ada)

    assert str(refusal.value) == (
        "Mill Lane is on hold (brood disease suspected): C0001 cannot move. Ask the inspector first."
    )


def test_nothing_moves_into_a_yard_on_hold(yard, ada):
    HoldFactory(yard=yard)

    with pytest.raises(services.NothingMoves, match="Mill Lane is on hold: nothing moves in or out"):
        services.move_colony(colony_id=ColonyFactory().pk, yard_id=yard.pk, position=1, actor=ada)


def test_a_colony_on_hold_stays_but_its_neighbour_may_move(yard, ada):
    held, free = ColonyFactory(yard=yard), ColonyFactory(yard=yard)
    HoldFactory(yard=yard, colony=held)
    there = YardFactory()

    with pytest.raises(services.NothingMoves):
        services.move_colony(colony_id=held.pk, yard_id=there.pk, position=1, actor=ada)
    services.move_colony(colony_id=free.pk, yard_id=there.pk, position=1, actor=ada)

    free.refresh_from_db()
    assert free.yard == there


def test_positions_change_within_a_yard_on_hold(yard, ada):
    colony = ColonyFactory(yard=yard, position=1)
    HoldFactory(yard=yard)

    services.move_colony(colony_id=colony.pk, yard_id=yard.pk, position=6, actor=ada)

    colony.refresh_from_db()
    assert colony.position == 6


def test_a_hold_that_ended_holds_nothing(yard, today, ada):
    colony = ColonyFactory(yard=yard)
    HoldFactory(yard=yard, ended_on=today, ended_because="the inspector found nothing")

    services.move_colony(colony_id=colony.pk, yard_id=YardFactory().pk, position=1, actor=ada)

    colony.refresh_from_db()
    assert colony.yard != yard


# --- Kept for.


def test_a_colony_is_kept_for_something_else(ada):
    colony = ColonyFactory()

    services.set_purpose(colony_id=colony.pk, purpose="honey", actor=ada)

    colony.refresh_from_db()
    assert colony.purpose == "honey"
    assert history_rows(colony)[0].changes[0].after == "honey"


# --- Ended.


def end(colony, today, actor, **more):
    values = {"state": "lost", "on": today, "cause": "starved"} | more
    return services.end_colony(colony_id=colony.pk, today=today, actor=actor, **values)


def test_a_lost_colony_frees_its_position(yard, today, ada):
    colony = ColonyFactory(yard=yard, position=3)

    end(colony, today, ada)

    colony.refresh_from_db()
    assert (colony.state, colony.ended_on, colony.loss_cause) == ("lost", today, "starved")
    assert (
        services.add_colony(yard_id=yard.pk, tag="B1", position=3, started_on=today, today=today, actor=ada).position
        == 3
    )


def test_an_ended_colony_does_not_end_again_or_move(today, ada):
    colony = ColonyFactory(tag="C0001")
    end(colony, today, ada)

    with pytest.raises(services.AlreadyEnded, match=r"^C0001 ended on Mon 12 Apr 2027 \(lost\)\.$"):
        end(colony, today, ada, state="sold")
    with pytest.raises(services.AlreadyEnded):
        services.set_purpose(colony_id=colony.pk, purpose="honey", actor=ada)


@pytest.mark.parametrize(
    ("more", "refusal", "words"),
    [
        ({"cause": " "}, services.CauseMissing, "Say why it ended"),
        ({"on": date(2027, 4, 13)}, services.FutureDay, "Tue 13 Apr 2027 is still to come"),
        ({"on": date(2026, 5, 31)}, services.EndedBeforeStart, "started on Mon 1 Jun 2026"),
    ],
)
def test_an_end_needs_its_cause_and_a_day_that_can_be(more, refusal, words, today, ada):
    with pytest.raises(refusal, match=words):
        end(ColonyFactory(), today, ada, **more)


def test_a_colony_did_not_end_before_it_was_last_looked_at(yard, today, ada):
    colony = ColonyFactory(yard=yard, tag="C0001")
    LookFactory(visit=VisitFactory(yard=yard, on=date(2027, 4, 3)), colony=colony)

    with pytest.raises(services.LookedAtLater, match="C0001 was still looked at on Sat 3 Apr 2027"):
        end(colony, today, ada, on=date(2027, 4, 2))


@pytest.mark.parametrize("state", ["sold", "united"])
def test_a_colony_on_hold_is_neither_sold_nor_united(state, yard, today, ada):
    colony = ColonyFactory(yard=yard)
    HoldFactory(yard=yard)

    with pytest.raises(services.NothingMoves, match="cannot be sold or united"):
        end(colony, today, ada, state=state)


def test_a_colony_on_hold_may_be_lost(yard, today, ada):
    colony = ColonyFactory(yard=yard)
    HoldFactory(yard=yard)

    assert end(colony, today, ada).state == "lost"


def test_a_colony_changed_meanwhile_is_not_ended(today, ada):
    with pytest.raises(StaleRecord):
        end(ColonyFactory(version=3), today, ada, version=2)


# --- What the database refuses behind the services.


def test_the_database_brings_no_colony_back():
    colony = ColonyFactory(state="lost", ended_on=date(2027, 4, 1))

    with pytest.raises(IntegrityError, match="cannot move between these states"), transaction.atomic():
        Colony.objects.filter(pk=colony.pk).update(state="live", ended_on=None)


def test_the_database_deletes_no_colony():
    colony = ColonyFactory()

    with pytest.raises(IntegrityError, match="never deleted"), transaction.atomic():
        Colony.objects.filter(pk=colony.pk).delete()


# --- What changed.


def test_what_changed_is_dated_by_the_desks_own_day(settings, yard, today, ada):
    settings.PRETENDED_TODAY = date(2027, 4, 3)

    colony = services.add_colony(yard_id=yard.pk, tag="C0031", started_on=STARTED, today=today, actor=ada)

    (row,) = history_rows(colony)
    assert (row.when.date(), row.who) == (date(2027, 4, 3), "Ada Fell")
