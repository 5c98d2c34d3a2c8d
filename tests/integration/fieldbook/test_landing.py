"""Records of a phone land once, whole, and in whatever order they come."""

from datetime import UTC, date, datetime, time
from decimal import Decimal
from uuid import uuid4

import pytest

from apiary_ops.fieldbook.models import Record
from apiary_ops.fieldbook.services import Outcome
from apiary_ops.yards.models import Colony, FrameMove, Look, Tally, Visit
from tests.factories.people import UserFactory
from tests.factories.yards import TaskFactory

pytestmark = pytest.mark.django_db


def test_a_visit_and_its_look_land_with_who_saw_it_and_when(tove):
    visit = tove.visit()
    look = tove.look(visit, below_halves=11, lower_box="few", patty="half")

    outcomes = tove.send(visit, look)

    there = Visit.objects.get()
    seen = Look.objects.get()
    assert outcomes == [Outcome(visit["key"], "landed"), Outcome(look["key"], "landed")]
    assert (there.on, there.arrived_at, there.km) == (date(2027, 4, 3), time(9, 15), 64)
    assert (there.temperature_c, there.sky) == (Decimal("6.0"), "cloud")
    assert (list(there.crew.all()), there.recorded_by) == ([tove.user], tove.user)
    assert (seen.visit, seen.colony.tag, seen.below_halves, seen.lower_box, seen.patty) == (
        there,
        "A1",
        11,
        "few",
        "half",
    )
    assert (seen.observed_by, seen.observed_at) == (tove.user, datetime(2027, 4, 3, 12, 30, tzinfo=UTC))
    assert Record.objects.get(pk=look["key"]).result == f"look:{seen.pk}"


def test_what_was_not_looked_at_is_not_a_nought(tove):
    visit = tove.visit()

    tove.send(visit, tove.look(visit, below_halves=0))

    seen = Look.objects.get()
    assert (seen.below_halves, seen.above_halves, seen.sealed_halves, seen.queen) == (0, None, None, "")


def test_the_same_again_gets_the_same_answer_and_lands_once(tove):
    visit = tove.visit()
    look = tove.look(visit, below_halves=11)
    first = tove.send(visit, look)

    again = tove.send(visit, look)

    assert again == first
    assert (Visit.objects.count(), Look.objects.count(), Record.objects.count()) == (1, 1, 2)


def test_other_values_under_a_known_key_change_nothing_and_it_is_said(tove):
    visit = tove.visit()
    look = tove.look(visit, below_halves=11)
    tove.send(visit, look)

    outcome = tove.send(look | {"payload": {"tag": "A1", "below_halves": 4}})[0]

    assert outcome == Outcome(look["key"], "landed", "This key came before with other values; the first ones stand.")
    assert Look.objects.get().below_halves == 11


def test_a_look_that_comes_before_its_visit_waits_and_lands_with_it(tove):
    visit = tove.visit()
    look = tove.look(visit, below_halves=11)

    waited = tove.states(look)
    landed = tove.states(visit)

    assert (waited, landed, tove.states(look)) == (["waiting"], ["landed"], ["landed"])
    assert Look.objects.get().below_halves == 11


def test_a_look_without_a_visit_is_refused_and_kept(tove):
    outcome = tove.send(tove.record("look", {"tag": "A1", "below_halves": 8}))[0]

    assert (outcome.state, outcome.words) == ("refused", "It does not say which visit it belongs to.")
    assert Record.objects.get().payload == {"tag": "A1", "below_halves": 8}


@pytest.mark.parametrize(
    ("payload", "words"),
    [
        (
            {"tag": "Z9", "below_halves": 8},
            "No colony has the tag Z9. Add it, or give the colony its tag again, then land this.",
        ),
        ({"tag": "A1"}, "Nothing was noted of A1. Tap what you saw, or skip it."),
        ({"tag": "A1", "below_halves": 41}, "“below_halves” must be a whole number from 0 to 40."),
        ({"tag": "A1", "below_halves": True}, "“below_halves” must be a whole number from 0 to 40."),
        ({"tag": "A1", "queen": "crowned"}, "“queen” must be one of seen, none, spotty, drones."),
        ({"below_halves": 8}, "“tag” is missing."),
        ({"tag": "C3", "below_halves": 22}, "C3 has 1 box: at most 10 frames fit, not 11 from below."),
    ],
)
def test_what_a_rule_refuses_is_kept_with_its_words_for_a_person(payload, words, tove):
    Colony.objects.filter(tag="C3").update(boxes=1)
    visit = tove.visit()

    outcome = tove.send(visit, tove.record("look", payload, visit["key"]))[1]

    assert outcome == Outcome(outcome.key, "refused", words)
    assert Look.objects.count() == 0
    assert Record.objects.get(kind="look").payload == payload


def test_a_kind_or_a_version_this_desk_does_not_know_is_kept_as_sent(tove):
    visit = tove.visit()

    outcomes = tove.send(
        tove.record("wish", {"wings": 4}),
        visit,
        tove.look(visit, below_halves=8) | {"version": 3},
    )

    assert [(outcome.state, outcome.words) for outcome in outcomes] == [
        ("refused", "This desk does not know records of the kind “wish”."),
        ("landed", ""),
        ("refused", "This desk does not read version 3 of a look yet. It is kept as it was sent."),
    ]
    assert Record.objects.get(kind="wish").payload == {"wings": 4}


def test_records_of_the_version_before_still_land(tove):
    visit = tove.visit() | {"version": 1}
    visit["payload"] = visit["payload"] | {"temp": 7}
    look = tove.look(visit, frames=6) | {"version": 1}

    assert tove.states(visit, look) == ["landed", "landed"]
    assert (Visit.objects.get().temperature_c, Look.objects.get().below_halves) == (Decimal("7.0"), 12)


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"kind": ["look"]}, "“kind” must be a word of at most 20 letters."),
        ({"kind": "x" * 21}, "“kind” must be a word of at most 20 letters."),
        ({"version": "2"}, "“version” must be a whole number from 1."),
        ({"device": None}, "“device” must be a UUID."),
        ({"parent": "its visit"}, "“parent” must be a UUID, or null."),
        ({"observed_by": True}, "“observed_by” must be the number of a person."),
        (
            {"observed_at": "2027-04-03T09:30:00"},
            "“observed_at” must be an instant with its offset, such as 2027-04-03T09:30:00-03:00.",
        ),
        ({"payload": [1]}, "“payload” must be named values."),
    ],
)
def test_one_malformed_record_is_refused_and_kept_while_the_others_land(change, words, tove):
    bad = tove.visit() | change
    good = tove.visit()

    outcomes = tove.send(bad, good)

    assert outcomes == [Outcome(bad["key"], "refused", words), Outcome(good["key"], "landed")]
    assert Record.objects.get(pk=bad["key"]).payload == {"as_sent": bad}


def test_a_record_without_a_key_is_refused_and_cannot_be_kept(tove):
    outcomes = tove.send(tove.visit() | {"key": "seven"}, "nonsense", None)

    assert outcomes == [
        Outcome("seven", "refused", "“key” must be a UUID."),
        Outcome("", "refused", "A record must be named values."),
        Outcome("", "refused", "A record must be named values."),
    ]
    assert Record.objects.count() == 0


def test_values_nested_without_end_are_kept_as_far_as_anything_is_ever_nested(tove):
    visit, nest = tove.visit(), {}
    for _level in range(900):
        nest = {"a": nest}

    outcome = tove.send(visit | {"payload": nest})[0]

    assert (outcome.state, outcome.words) == ("refused", "“yard” is missing.")
    assert Record.objects.get().payload["a"]["a"]["a"]


def test_a_text_no_database_keeps_is_kept_without_its_nul_and_half_letters(tove):
    visit = tove.visit()

    states = tove.states(visit, tove.look(visit, note="wet\0lid \ud800"))

    assert states == ["landed", "landed"]
    assert Look.objects.get().note == "wet\ufffdlid \ufffd"


def test_a_phone_whose_clock_runs_ahead_counts_from_when_it_arrived(tove):
    visit = tove.visit(on="2027-04-04") | {"observed_at": "2027-04-04T09:30:00-03:00"}
    look = tove.look(visit, below_halves=8) | {"observed_at": "2027-04-04T09:31:00-03:00"}

    outcomes = tove.send(visit, look)

    assert [outcome.state for outcome in outcomes] == ["landed", "landed"]
    assert outcomes[0].words == (
        "The phone's calendar was ahead: this is the day it arrived. "
        "The phone's clock was ahead: this counts from when it arrived."
    )
    assert Visit.objects.get().on == date(2027, 4, 3)
    assert Look.objects.get().observed_at == datetime(2027, 4, 3, 15, tzinfo=UTC)


def test_only_those_who_go_to_the_yards_may_have_observed(tove):
    gate = UserFactory(full_name="Una Gate", gate=True)

    outcome = tove.send(tove.visit() | {"observed_by": gate.pk})[0]

    assert (outcome.state, outcome.words) == (
        "refused",
        "Una Gate is not among those who go to the yards. Land it if it is right all the same.",
    )
    assert Record.objects.get().observed_by == gate


def test_what_nobody_here_observed_is_kept_whole(tove):
    visit = tove.visit() | {"observed_by": 999_999}

    first, again = tove.send(visit, visit)

    assert first == again == Outcome(visit["key"], "refused", "“observed_by” is nobody here.")
    assert Record.objects.get().payload == {"as_sent": visit}


def test_what_one_observed_another_may_send(tove, ib):
    visit = ib.visit()

    tove.send(visit)

    record = Record.objects.get()
    assert (record.observed_by, record.sent_by) == (ib.user, tove.user)
    assert Visit.objects.get().recorded_by == ib.user


def test_disease_tapped_on_a_phone_holds_the_yard(tove, yard):
    visit = tove.visit()

    tove.send(visit, tove.look(visit, suspect_disease=True))

    assert yard.holds.get().reason == "disease suspected in A1"
    assert yard.tasks.get(what__startswith="Call the inspector").done_on is None


def test_the_taps_of_a_look_are_kept(tove):
    visit = tove.visit()

    tove.send(visit, tove.look(visit, "B2", cells="seen", heft="light", patty_given=True, broken_frame=True))

    seen = Look.objects.get()
    assert (seen.cells, seen.heft, seen.patty_given, seen.broken_frame) == ("seen", "light", True, True)


def test_a_tally_a_loss_a_task_and_frames_land(tove, yard, season):
    task = TaskFactory(yard=yard, season=season)
    visit = tove.visit(depth="tally")

    states = tove.states(
        visit,
        tove.record("tally", {"counts": {"best": 2, "slow": 0}, "dead": 1}, visit["key"]),
        tove.record("lost", {"tag": "C3", "cause": "starved"}, visit["key"]),
        tove.record("task_done", {"task": task.pk}, visit["key"]),
        tove.record("frames", {"from": "A1", "to": "b2", "brood": 2, "with_bees": True}, visit["key"]),
    )

    task.refresh_from_db()
    tally = Tally.objects.get()
    move = FrameMove.objects.get()
    lost = Colony.objects.get(tag="C3")
    assert states == ["landed"] * 5
    assert (list(tally.counts.values_list("grade", "colonies")), tally.dead) == ([("best", 2)], 1)
    assert (lost.state, lost.ended_on, lost.loss_cause) == ("lost", date(2027, 4, 3), "starved")
    assert (task.done_on, task.done_by) == (date(2027, 4, 3), tove.user)
    assert (move.from_colony.tag, move.to_colony.tag, move.brood_frames, move.moved_by) == ("A1", "B2", 2, tove.user)


def test_leaving_notes_the_time_the_jobs_and_what_was_used(tove):
    visit = tove.visit()
    leave = {"left": "10:45", "jobs": ["look", "feed"], "materials": [{"material": "patty", "quantity": "12"}]}

    tove.send(visit, tove.record("leave", leave, visit["key"]))

    there = Visit.objects.get()
    assert (there.left_at, there.minutes) == (time(10, 45), 90)
    assert sorted(there.jobs_done.values_list("job", flat=True)) == ["feed", "look"]
    assert [(use.material, use.quantity) for use in there.materials.all()] == [("patty", Decimal("12"))]


def test_what_hangs_on_something_else_than_a_visit_is_refused(tove):
    visit = tove.visit()
    look = tove.look(visit, below_halves=8)

    outcome = tove.send(visit, look, tove.record("leave", {"left": "10:45"}, look["key"]))[2]

    assert (outcome.state, outcome.words) == ("refused", "What it belongs to is not a visit.")


def test_a_task_that_is_gone_is_said_to_be(tove):
    outcome = tove.send(tove.record("task_done", {"task": 77}))[0]

    assert (outcome.state, outcome.words) == (
        "refused",
        "This task is no longer there: what made it was corrected. Set it aside.",
    )


def test_a_record_that_hangs_on_itself_waits_for_good(tove):
    key = str(uuid4())

    assert tove.states(tove.record("leave", {}, key) | {"key": key}) == ["waiting"]
