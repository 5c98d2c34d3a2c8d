"""Looks: many in one call, impossible ones refused, corrections kept, disease stops everything."""

from datetime import UTC, date, datetime
from decimal import Decimal
from uuid import uuid4

import pytest
from django.db import IntegrityError, transaction

from apiary_ops.business import stamps
from apiary_ops.core.history import history_rows
from apiary_ops.core.once import AlreadyDone
from apiary_ops.core.versions import StaleRecord
from apiary_ops.yards import queries, services
from apiary_ops.yards.models import Hold, Look, Task
from apiary_ops.yards.services import LookDraft
from tests.factories.people import UserFactory
from tests.factories.yards import ColonyFactory, HoldFactory, LookFactory, VisitFactory, YardFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def visit():
    return VisitFactory(yard=YardFactory(name="Mill Lane"), on=date(2027, 4, 3), temperature_c=Decimal(6))


@pytest.fixture
def colony(visit):
    return ColonyFactory(yard=visit.yard, tag="C0001", boxes=2)


def test_a_whole_yard_is_recorded_in_one_call(visit, ada):
    colonies = ColonyFactory.create_batch(3, yard=visit.yard)

    recorded = services.record_looks(
        visit_id=visit.pk, looks=[LookDraft(colony.pk, below_halves=11) for colony in colonies], actor=ada
    )

    assert len(recorded.looks) == Look.objects.filter(visit=visit).count() == 3
    assert (recorded.warnings, recorded.stopped) == ((), False)
    assert history_rows(recorded.looks[0])[0].who == "Ada Fell"
    assert stamps.read(visit.season_id, ["yards"])["yards"] > 0


def test_one_bad_look_leaves_none(visit, colony, ada):
    single = ColonyFactory(yard=visit.yard, tag="C0002", boxes=1)

    with pytest.raises(services.TooManyFrames) as refusal:
        services.record_looks(
            visit_id=visit.pk,
            looks=[LookDraft(colony.pk, below_halves=11), LookDraft(single.pk, below_halves=21)],
            actor=ada,
        )

    assert str(refusal.value) == "C0002 has 1 box: at most 10 frames fit, not 10.5 from below."
    assert Look.objects.count() == 0


def test_what_was_not_looked_at_stays_empty(visit, colony, ada):
    look = services.record_look(visit_id=visit.pk, look=LookDraft(colony.pk, below_halves=9), actor=ada).looks[0]

    look.refresh_from_db()
    assert (look.above_halves, look.sealed_halves, look.queen, look.patty) == (None, None, "", "")


def test_a_colony_of_another_yard_is_refused(visit, ada):
    stranger = ColonyFactory(tag="X1", yard=YardFactory(name="Far Field"))

    with pytest.raises(services.AnotherYard) as refusal:
        services.record_look(visit_id=visit.pk, look=LookDraft(stranger.pk, below_halves=9), actor=ada)

    assert str(refusal.value) == "X1 stands in Far Field, not in Mill Lane. Record a visit there."


def test_a_look_before_the_colony_started_is_refused(visit, ada):
    young = ColonyFactory(yard=visit.yard, tag="N1", started_on=date(2027, 4, 4))

    with pytest.raises(services.LookBeforeStart, match=r"^N1 started on Sun 4 Apr 2027, after this visit\.$"):
        services.record_look(visit_id=visit.pk, look=LookDraft(young.pk, below_halves=9), actor=ada)


def test_a_look_after_the_colony_ended_is_refused(visit, ada):
    dead = ColonyFactory(yard=visit.yard, tag="D1", state="lost", ended_on=date(2027, 4, 2))

    with pytest.raises(services.NotAlive, match=r"^D1 ended on Fri 2 Apr 2027, before this visit\.$"):
        services.record_look(visit_id=visit.pk, look=LookDraft(dead.pk, below_halves=9), actor=ada)


def test_a_colony_is_looked_at_once_a_visit(visit, colony, ada):
    LookFactory(visit=visit, colony=colony)

    with pytest.raises(services.AlreadyLooked, match="C0001 was already looked at on this visit. Correct that look"):
        services.record_look(visit_id=visit.pk, look=LookDraft(colony.pk, below_halves=9), actor=ada)

    other = ColonyFactory(yard=visit.yard)
    with pytest.raises(services.AlreadyLooked):
        services.record_looks(
            visit_id=visit.pk,
            looks=[LookDraft(other.pk, below_halves=9), LookDraft(other.pk, below_halves=8)],
            actor=ada,
        )


def test_a_look_that_saw_nothing_is_refused(visit, colony, ada):
    with pytest.raises(services.NothingSeen, match=r"^Nothing was noted of C0001\. Tap what you saw, or skip it\.$"):
        services.record_look(visit_id=visit.pk, look=LookDraft(colony.pk), actor=ada)


def test_no_bees_are_something_seen(visit, colony, ada):
    recorded = services.record_look(visit_id=visit.pk, look=LookDraft(colony.pk, below_halves=0), actor=ada)

    assert recorded.looks[0].below_halves == 0


def test_frames_out_in_the_cold_are_taken_with_a_warning(visit, colony, ada):
    other = ColonyFactory(yard=visit.yard)

    recorded = services.record_looks(
        visit_id=visit.pk,
        looks=[LookDraft(colony.pk, sealed_halves=4), LookDraft(other.pk, sealed_halves=3)],
        actor=ada,
    )

    assert recorded.warnings == (
        "Frames were out at 6 °C. Below 10 °C brood chills: look from below with the boxes parted instead.",
    )
    assert Look.objects.count() == 2


def test_a_form_sent_twice_records_one_look(visit, colony, ada):
    values = {"visit_id": visit.pk, "look": LookDraft(colony.pk, below_halves=9), "actor": ada, "once_key": uuid4()}
    services.record_look(**values)

    with pytest.raises(AlreadyDone):
        services.record_look(**values)

    assert Look.objects.count() == 1


def test_cells_heft_and_what_was_done_are_kept_with_who_saw_it(visit, colony, ada):
    seen_at = datetime(2027, 4, 3, 9, 40, tzinfo=UTC)
    draft = LookDraft(
        colony.pk,
        below_halves=9,
        cells="cut",
        heft="light",
        strips_pulled=True,
        patty_given=True,
        broken_frame=True,
        observed_by_id=ada.pk,
        observed_at=seen_at,
    )

    look = services.record_look(visit_id=visit.pk, look=draft, actor=UserFactory()).looks[0]

    look.refresh_from_db()
    assert (look.cells, look.heft, look.observed_by, look.observed_at) == ("cut", "light", ada, seen_at)
    assert (look.strips_pulled, look.patty_given, look.broken_frame, look.lower_box_off) == (True, True, True, False)


@pytest.mark.parametrize(
    "said",
    [{"cells": "none"}, {"heft": "fair"}, {"strips_pulled": True}, {"patty_given": True}, {"broken_frame": True}],
)
def test_one_tap_is_a_look(visit, colony, ada, said):
    recorded = services.record_look(visit_id=visit.pk, look=LookDraft(colony.pk, **said), actor=ada)

    assert len(recorded.looks) == 1


def test_bees_that_fly_say_nothing_of_a_colony(visit, colony, ada):
    with pytest.raises(services.NothingSeen):
        services.record_look(visit_id=visit.pk, look=LookDraft(colony.pk, flying=True), actor=ada)


def test_the_queen_seen_in_the_cold_had_frames_out(visit, colony, ada):
    recorded = services.record_look(visit_id=visit.pk, look=LookDraft(colony.pk, queen="seen"), actor=ada)

    assert [words[:25] for words in recorded.warnings] == ["Frames were out at 6 °C. "]


# --- The work that follows.


def work(colony):
    return list(Task.objects.filter(colony=colony).order_by("id").values_list("rule", "source", "done_on"))


def test_a_look_makes_the_tasks_that_follow_from_it(visit, colony, ada):
    services.install_reference_rules()

    look = services.record_look(visit_id=visit.pk, look=LookDraft(colony.pk, queen="spotty"), actor=ada).looks[0]

    assert work(colony) == [("requeen", f"look:{look.pk}", None)]


def test_a_correction_takes_back_the_task_the_look_made(visit, colony, ada):
    services.install_reference_rules()
    look = services.record_look(visit_id=visit.pk, look=LookDraft(colony.pk, queen="spotty"), actor=ada).looks[0]

    services.correct_look(look_id=look.pk, version=1, changes={"queen": "seen"}, actor=ada)

    assert work(colony) == []


# --- The lower box.


def test_a_lower_box_taken_off_is_one_box_fewer(visit, colony, ada):
    services.record_look(visit_id=visit.pk, look=LookDraft(colony.pk, below_halves=14, lower_box_off=True), actor=ada)

    colony.refresh_from_db()
    assert (colony.boxes, colony.version) == (1, 2)
    assert history_rows(colony)[0].who == "Ada Fell"


def test_a_single_box_has_no_lower_box_to_take_off(visit, ada):
    single = ColonyFactory(yard=visit.yard, tag="C0009", boxes=1)

    with pytest.raises(services.NoLowerBox) as refusal:
        services.record_look(visit_id=visit.pk, look=LookDraft(single.pk, lower_box_off=True), actor=ada)

    assert str(refusal.value) == "C0009 has 1 box: there is no lower box to take off. Mend its boxes first."


def test_correcting_a_lower_box_taken_off_by_a_slip_puts_it_back(visit, colony, ada):
    draft = LookDraft(colony.pk, below_halves=14, lower_box_off=True)
    look = services.record_look(visit_id=visit.pk, look=draft, actor=ada).looks[0]

    services.correct_look(look_id=look.pk, version=1, changes={"lower_box_off": False}, actor=ada)

    colony.refresh_from_db()
    assert colony.boxes == 2


def test_a_look_that_took_a_box_off_is_corrected_by_what_stood_then(visit, colony, ada):
    draft = LookDraft(colony.pk, below_halves=14, lower_box_off=True)
    look = services.record_look(visit_id=visit.pk, look=draft, actor=ada).looks[0]

    services.correct_look(look_id=look.pk, version=1, changes={"below_halves": 24}, actor=ada)

    look.refresh_from_db()
    colony.refresh_from_db()
    assert (look.below_halves, colony.boxes) == (24, 1)


# --- Suspected disease.


def test_suspected_disease_holds_the_yard_and_calls_the_inspector(visit, colony, ada):
    recorded = services.record_look(
        visit_id=visit.pk, look=LookDraft(colony.pk, below_halves=9, suspect_disease=True), actor=ada
    )

    hold, task = Hold.objects.get(), Task.objects.get()
    assert recorded.stopped is True
    assert (hold.yard, hold.colony, hold.reason) == (visit.yard, None, "disease suspected in C0001")
    assert (hold.starts_on, hold.ended_on, hold.placed_by) == (visit.on, None, ada)
    assert (task.yard, task.what, task.due_on, task.done_on) == (
        visit.yard,
        "Call the inspector: disease suspected in C0001",
        visit.on,
        None,
    )


def test_a_second_suspicion_makes_no_second_hold_or_call(visit, colony, ada):
    others = ColonyFactory.create_batch(2, yard=visit.yard)
    drafts = [LookDraft(each.pk, suspect_disease=True) for each in [colony, *others]]

    services.record_looks(visit_id=visit.pk, looks=drafts[:2], actor=ada)
    services.record_look(visit_id=visit.pk, look=drafts[2], actor=ada)

    assert Hold.objects.get().reason == "disease suspected in C0001 and 1 more"
    assert Task.objects.count() == 1


def test_a_suspicion_after_the_hold_was_lifted_holds_again(visit, colony, ada):
    HoldFactory(yard=visit.yard, ended_on=date(2027, 4, 11), ended_because="clear")

    services.record_look(visit_id=visit.pk, look=LookDraft(colony.pk, suspect_disease=True), actor=ada)

    assert Hold.objects.filter(ended_on__isnull=True).count() == 1


# --- Corrections.


def test_a_correction_keeps_what_the_look_said(visit, colony, ada):
    look = LookFactory(visit=visit, colony=colony, below_halves=12)

    services.correct_look(look_id=look.pk, version=1, changes={"below_halves": 11, "queen": "spotty"}, actor=ada)

    look.refresh_from_db()
    changes = {change.label: (change.before, change.after) for change in history_rows(look)[0].changes}
    assert (look.below_halves, look.queen, look.version) == (11, "spotty", 2)
    assert changes == {"from below, half frames": ("12", "11"), "queen": ("", "spotty brood")}
    assert history_rows(look)[0].who == "Ada Fell"


def test_two_people_on_one_look_get_a_question(visit, colony, ada):
    look = LookFactory(visit=visit, colony=colony, below_halves=12)
    services.correct_look(look_id=look.pk, version=1, changes={"below_halves": 11}, actor=ada)

    with pytest.raises(StaleRecord) as refusal:
        services.correct_look(look_id=look.pk, version=1, changes={"below_halves": 10}, actor=UserFactory())

    assert refusal.value.current.below_halves == 11


def test_a_correction_is_refused_what_a_look_is_refused(visit, colony, ada):
    look = LookFactory(visit=visit, colony=colony, below_halves=12)

    with pytest.raises(services.TooManyFrames):
        services.correct_look(look_id=look.pk, version=1, changes={"above_halves": 41}, actor=ada)
    with pytest.raises(services.NothingSeen):
        services.correct_look(look_id=look.pk, version=1, changes={"below_halves": None}, actor=ada)


def test_a_correction_that_suspects_disease_holds_the_yard(visit, colony, ada):
    look = LookFactory(visit=visit, colony=colony)

    recorded = services.correct_look(look_id=look.pk, version=1, changes={"suspect_disease": True}, actor=ada)

    assert recorded.stopped is True
    assert queries.holds_open(visit.on).get().yard == visit.yard


def test_the_database_deletes_no_look(visit, colony):
    look = LookFactory(visit=visit, colony=colony)

    with pytest.raises(IntegrityError, match="never deleted"), transaction.atomic():
        Look.objects.filter(pk=look.pk).delete()
