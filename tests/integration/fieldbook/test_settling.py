"""A person settles what could not land by itself, with a reason, once."""

from datetime import UTC, datetime

import pytest

from apiary_ops.fieldbook import services
from apiary_ops.fieldbook.models import Record
from apiary_ops.fieldbook.services import AGAIN, ASIDE, INSIST, settle_record
from apiary_ops.yards.models import Colony, FrameMove, Look, Visit
from tests.factories.people import UserFactory
from tests.factories.yards import ColonyFactory

pytestmark = pytest.mark.django_db
AT = datetime(2027, 4, 4, 12, tzinfo=UTC)


@pytest.fixture
def office(season):
    return UserFactory(full_name="Una Desk", office=True)


@pytest.fixture
def question(tove, ib):
    """Tove saw 5.5 frames in A1 and Ib 3.5."""
    mine, other = tove.visit(), ib.visit()
    tove.send(mine, tove.look(mine, below_halves=11))
    outcome = ib.send(other, ib.look(other, below_halves=7))[1]
    return Record.objects.get(pk=outcome.key)


def test_the_second_persons_values_can_stand_and_the_first_stay_in_the_history(question, office):
    settled = settle_record(key=question.pk, act=INSIST, because="Ib looked twice", at=AT, actor=office)

    look = Look.objects.get()
    assert (settled.state, settled.settled_by, settled.settled_at, settled.settled_because) == (
        "landed",
        office,
        AT,
        "Ib looked twice",
    )
    assert (look.below_halves, look.observed_by.full_name) == (7, "Ib Fell")
    assert look.history.earliest().below_halves == 11


def test_what_the_second_person_did_not_look_at_stays_as_the_first_saw_it(tove, ib, office):
    mine, other = tove.visit(), ib.visit()
    tove.send(mine, tove.look(mine, below_halves=11, heft="light"))
    outcome = ib.send(other, ib.look(other, below_halves=0, cells="seen"))[1]

    settle_record(key=outcome.key, act=INSIST, at=AT, actor=office)

    look = Look.objects.get()
    assert (look.below_halves, look.heft, look.cells) == (0, "light", "seen")


def test_a_question_set_aside_leaves_the_first_as_it_is(question, office):
    settled = settle_record(key=question.pk, act=ASIDE, because="Tove had better light", at=AT, actor=office)

    assert (settled.state, Look.objects.get().below_halves) == ("dropped", 11)
    assert Record.objects.get(pk=question.pk).payload == {"tag": "A1", "below_halves": 7}


def test_nothing_is_set_aside_without_a_reason(question, office):
    with pytest.raises(services.ReasonMissing, match="Say why it is set aside, so that the next person knows."):
        settle_record(key=question.pk, act=ASIDE, because="  ", at=AT, actor=office)


def test_a_question_is_not_simply_tried_again(question, office):
    with pytest.raises(services.ActNotOpen, match="This cannot be done with it now. Look at it again."):
        settle_record(key=question.pk, act=AGAIN, at=AT, actor=office)


def test_what_is_settled_is_settled(question, office):
    settle_record(key=question.pk, act=ASIDE, because="no", at=AT, actor=office)

    with pytest.raises(services.AlreadySettled, match="This was settled meanwhile: set aside."):
        settle_record(key=question.pk, act=INSIST, at=AT, actor=office)


def test_a_refused_look_lands_once_its_colony_is_there(tove, office, yard):
    visit = tove.visit()
    outcome = tove.send(visit, tove.look(visit, "D4", below_halves=7))[1]
    with pytest.raises(services.StillRefused, match="No colony has the tag D4."):
        settle_record(key=outcome.key, act=AGAIN, at=AT, actor=office)
    ColonyFactory(yard=yard, tag="D4", position=4)

    settled = settle_record(key=outcome.key, act=AGAIN, at=AT, actor=office)

    assert (settled.state, Look.objects.get().colony.tag) == ("landed", "D4")


def test_a_refusal_that_is_tried_in_vain_leaves_everything_as_it_was(tove, office):
    outcome = tove.send(tove.visit(yard="nowhere"))[0]

    with pytest.raises(services.StillRefused):
        settle_record(key=outcome.key, act=AGAIN, at=AT, actor=office)

    record = Record.objects.get()
    assert (record.state, record.words, record.settled_at) == (
        "refused",
        "No yard has the code nowhere.",
        None,
    )


def test_a_visit_that_lands_brings_what_waited_for_it(tove, office, yard):
    visit = tove.visit()
    yard.is_active = False
    yard.save()
    states = tove.states(visit, tove.look(visit, below_halves=7))
    yard.is_active = True
    yard.save()

    settle_record(key=visit["key"], act=AGAIN, at=AT, actor=office)

    assert states == ["refused", "waiting"]
    assert (Visit.objects.count(), Look.objects.get().below_halves) == (1, 7)


def test_a_visit_set_aside_takes_what_waits_for_it_along_and_what_comes_late_is_refused(tove, office):
    visit = tove.visit(yard="nowhere")
    look, late = tove.look(visit, below_halves=7), tove.look(visit, "B2", below_halves=7)
    tove.send(visit, look)

    settle_record(key=visit["key"], act=ASIDE, because="a trial", at=AT, actor=office)

    kept = Record.objects.get(pk=look["key"])
    outcome = tove.send(late)[0]
    assert (kept.state, kept.settled_because, kept.settled_by) == ("dropped", "a trial", office)
    assert (outcome.state, outcome.words) == ("refused", "The visit it belongs to was set aside.")


def test_what_waits_for_a_visit_that_never_came_can_only_be_set_aside(tove, office):
    look = tove.look(tove.visit(), below_halves=7)
    tove.send(look)
    with pytest.raises(services.StillWaits, match="What it belongs to has not landed."):
        settle_record(key=look["key"], act=AGAIN, at=AT, actor=office)

    settled = settle_record(key=look["key"], act=ASIDE, because="the phone is lost", at=AT, actor=office)

    assert settled.state == "dropped"


def test_records_that_hang_on_each_other_are_set_aside_together(tove, office):
    first, second, alone = tove.visit(), tove.visit(), tove.visit()
    first["parent"], second["parent"], alone["parent"] = second["key"], first["key"], alone["key"]
    waiting = tove.states(first, second, alone)

    for one in (first, alone):
        settle_record(key=one["key"], act=ASIDE, because="nonsense", at=AT, actor=office)

    assert waiting == ["waiting"] * 3
    assert set(Record.objects.values_list("state", flat=True)) == {"dropped"}


def test_a_malformed_record_cannot_land_and_is_typed_in_by_hand(tove, office):
    visit = tove.visit()
    bad = tove.record("leave", {"left": "10:45"}, visit["key"]) | {"device": "mine"}
    tove.send(visit, bad)

    with pytest.raises(services.StillRefused, match="It came malformed and cannot land. Type in what it says by hand"):
        settle_record(key=bad["key"], act=AGAIN, at=AT, actor=office)

    assert Visit.objects.get().left_at is None


def test_a_refused_record_may_turn_out_to_be_a_question(tove, ib, office):
    mine, other = tove.visit(), ib.visit()
    Colony.objects.filter(tag="A1").update(boxes=1)
    ib.send(other, ib.look(other, below_halves=30))
    Colony.objects.filter(tag="A1").update(boxes=2)
    tove.send(mine, tove.look(mine, below_halves=11))
    refused = Record.objects.get(state="refused")

    settled = settle_record(key=refused.pk, act=AGAIN, at=AT, actor=office)

    assert (settled.state, settled.words, settled.settled_at) == (
        "question",
        "Tove Brook already said otherwise of A1 on this visit.",
        None,
    )


def test_a_second_move_of_frames_can_stand_beside_the_first(tove, ib, office):
    mine, other = tove.visit(), ib.visit()
    move = {"from": "A1", "to": "B2", "brood": 1}
    tove.send(mine, tove.record("frames", move, mine["key"]))
    outcome = ib.send(other, ib.record("frames", move, other["key"]))[1]

    settle_record(key=outcome.key, act=INSIST, at=AT, actor=office)

    assert FrameMove.objects.count() == 2


@pytest.mark.parametrize(
    ("kind", "first", "second"),
    [
        ("tally", {"counts": {"best": 2}, "dead": 1}, {"counts": {"slow": 3}, "dead": 0}),
        ("lost", {"tag": "C3", "cause": "starved"}, {"tag": "C3", "cause": "mice"}),
        (
            "leave",
            {"left": "10:45", "materials": [{"material": "patty", "quantity": "12"}]},
            {"left": "10:50", "materials": [{"material": "patty", "quantity": "10"}]},
        ),
    ],
)
def test_the_second_answer_to_any_question_can_stand(kind, first, second, tove, ib, office):
    mine, other = tove.visit(), ib.visit()
    tove.send(mine, tove.record(kind, first, mine["key"]))
    outcome = ib.send(other, ib.record(kind, second, other["key"]))[1]

    settled = settle_record(key=outcome.key, act=INSIST, at=AT, actor=office)

    assert (outcome.state, settled.state) == ("question", "landed")
    visit = Visit.objects.get()
    if kind == "tally":
        assert (list(visit.tally.counts.values_list("grade", "colonies")), visit.tally.dead) == ([("slow", 3)], 0)
    elif kind == "lost":
        assert Colony.objects.get(tag="C3").loss_cause == "mice"
    else:
        assert [use.quantity for use in visit.materials.all()] == [10]
