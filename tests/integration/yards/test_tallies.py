"""Tallies: a yard counted up by eye, in the grower's own grades."""

from datetime import date
from uuid import uuid4

import pytest

from apiary_ops.business import stamps
from apiary_ops.core.once import AlreadyDone
from apiary_ops.core.versions import StaleRecord
from apiary_ops.yards import services
from apiary_ops.yards.models import Tally, TallyCount
from tests.factories.yards import ColonyFactory, GradeRuleFactory, VisitFactory, YardFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def visit():
    for place, grade in enumerate(["best", "ordinary", "slow"], start=1):
        GradeRuleFactory(place=place, grade=grade)
    visit = VisitFactory(yard=YardFactory(name="Mill Lane"), on=date(2027, 4, 3), depth="tally")
    ColonyFactory.create_batch(6, yard=visit.yard)
    return visit


def counted(tally):
    return dict(tally.counts.values_list("grade", "colonies"))


def test_a_yard_is_counted_up_by_grade_with_its_dead(visit, ada):
    tally = services.record_tally(visit_id=visit.pk, counts={"best": 2, "ordinary": 3, "slow": 0}, dead=1, actor=ada)

    assert (tally.dead, counted(tally)) == (1, {"best": 2, "ordinary": 3})
    assert tally.history.get().history_user == ada
    assert stamps.read(visit.season_id, ["yards"]) == {"yards": 1}


def test_a_visit_has_one_tally(visit, ada):
    services.record_tally(visit_id=visit.pk, counts={"best": 2}, dead=0, actor=ada)

    with pytest.raises(services.AlreadyTallied) as refusal:
        services.record_tally(visit_id=visit.pk, counts={"best": 3}, dead=0, actor=ada)

    assert str(refusal.value) == "Mill Lane was already tallied on this visit. Correct that tally instead."
    assert counted(Tally.objects.get()) == {"best": 2}


def test_a_grade_the_rules_do_not_know_is_refused(visit, ada):
    with pytest.raises(services.UnknownGrade) as refusal:
        services.record_tally(visit_id=visit.pk, counts={"booming": 2}, dead=0, actor=ada)

    assert str(refusal.value) == "“booming” is no grade of the rules of that day. Count in: best, ordinary, slow."


def test_a_tally_counts_by_the_rules_of_its_day(visit, ada):
    GradeRuleFactory(valid_from=date(2027, 4, 4), place=1, grade="strong")

    with pytest.raises(services.UnknownGrade):
        services.record_tally(visit_id=visit.pk, counts={"strong": 2}, dead=0, actor=ada)


@pytest.mark.parametrize(("counts", "dead"), [({}, 0), ({"best": 0}, 0), ({"best": 3}, -1)])
def test_a_tally_of_nothing_is_refused(visit, ada, counts, dead):
    with pytest.raises(services.NothingCounted, match="Nothing was counted. Say how many of each grade stand here"):
        services.record_tally(visit_id=visit.pk, counts=counts, dead=dead, actor=ada)


def test_fewer_than_none_are_refused(visit, ada):
    with pytest.raises(services.NothingCounted, match="Fewer than 0 slow cannot be counted."):
        services.record_tally(visit_id=visit.pk, counts={"best": 3, "slow": -1}, dead=0, actor=ada)


def test_more_than_twice_what_stands_there_is_a_slip_of_the_pen(visit, ada):
    ColonyFactory(yard=visit.yard, state="lost", ended_on=date(2027, 4, 1))
    services.record_tally(visit_id=visit.pk, counts={"best": 10}, dead=2, actor=ada)
    other = VisitFactory(yard=visit.yard, on=visit.on)

    with pytest.raises(services.TooManyCounted) as refusal:
        services.record_tally(visit_id=other.pk, counts={"best": 11}, dead=2, actor=ada)

    assert str(refusal.value) == ("13 were counted, but 6 stand in Mill Lane. Count again, or add the colonies first.")


def test_a_tally_sent_twice_is_one(visit, ada):
    key = uuid4()
    services.record_tally(visit_id=visit.pk, counts={"best": 2}, dead=0, actor=ada, once_key=key)

    with pytest.raises(AlreadyDone) as refusal:
        services.record_tally(visit_id=visit.pk, counts={"best": 2}, dead=0, actor=ada, once_key=key)

    assert refusal.value.result == f"visit:{visit.pk}"


def test_a_tally_is_corrected_and_keeps_what_it_said(visit, ada):
    tally = services.record_tally(visit_id=visit.pk, counts={"best": 2, "slow": 1}, dead=0, actor=ada)

    services.correct_tally(tally_id=tally.pk, version=1, counts={"best": 3, "ordinary": 2}, dead=1, actor=ada)

    tally.refresh_from_db()
    assert (tally.dead, tally.version, counted(tally)) == (1, 2, {"best": 3, "ordinary": 2})
    assert sorted(TallyCount.history.values_list("grade", "colonies", "history_type")) == [
        ("best", 2, "+"),
        ("best", 3, "~"),
        ("ordinary", 2, "+"),
        ("slow", 1, "+"),
        ("slow", 1, "-"),
    ]


def test_two_corrections_of_one_tally_are_a_question(visit, ada):
    tally = services.record_tally(visit_id=visit.pk, counts={"best": 2}, dead=0, actor=ada)
    services.correct_tally(tally_id=tally.pk, version=1, counts={"best": 3}, dead=0, actor=ada)

    with pytest.raises(StaleRecord):
        services.correct_tally(tally_id=tally.pk, version=1, counts={"best": 4}, dead=0, actor=ada)


def test_a_correction_that_changes_nothing_leaves_no_trace(visit, ada):
    tally = services.record_tally(visit_id=visit.pk, counts={"best": 2}, dead=1, actor=ada)

    same = services.correct_tally(tally_id=tally.pk, version=1, counts={"best": 2, "slow": 0}, dead=1, actor=ada)

    assert same.version == 1
    assert stamps.read(visit.season_id, ["yards"]) == {"yards": 1}
