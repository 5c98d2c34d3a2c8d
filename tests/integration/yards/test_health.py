"""Health: washes, brood checks that stop a yard, treatments by their labels with the task to take them out."""

from datetime import date
from decimal import Decimal
from uuid import uuid4

import pytest
from django.db import IntegrityError, transaction

from apiary_ops.core.once import AlreadyDone
from apiary_ops.yards import queries, services
from apiary_ops.yards.models import Hold, MiteWash, Task, Treatment, TreatmentKind
from tests.factories.business import SeasonFactory
from tests.factories.yards import (
    ColonyFactory,
    LookFactory,
    MiteWashFactory,
    TaskFactory,
    TreatmentFactory,
    VisitFactory,
    YardFactory,
)

pytestmark = pytest.mark.django_db
THIRD, TENTH = date(2027, 4, 3), date(2027, 4, 10)


@pytest.fixture
def season():
    return SeasonFactory()


@pytest.fixture
def visit(yard, season):
    return VisitFactory(yard=yard, season=season, on=THIRD)


@pytest.fixture
def kinds():
    services.install_task_rules()
    return {kind.code: kind for kind in TreatmentKind.objects.all()}


@pytest.fixture
def give(season, yard, kinds, ada):
    def give(code, **values):
        return services.give_treatment(
            **{
                "season_id": season.pk,
                "yard_id": yard.pk,
                "kind_id": kinds[code].pk,
                "starts_on": THIRD,
                "today": TENTH,
                "actor": ada,
            }
            | values
        )

    return give


def counted(yard, visit, tag, halves):
    colony = ColonyFactory(yard=yard, tag=tag)
    LookFactory(visit=visit, colony=colony, below_halves=halves)
    return colony


def test_a_wash_is_recorded_once(visit, ada):
    values = {"visit_id": visit.pk, "mites": 6, "bees": 300, "actor": ada, "once_key": uuid4()}
    services.record_mite_wash(**values)

    with pytest.raises(AlreadyDone):
        services.record_mite_wash(**values)

    row = queries.wash_rows(queries.washes(visit.season_id))[0]
    assert row.load.words == "2.0 %, treat from 2 %"


def test_a_wash_of_a_colony_elsewhere_is_refused(visit, ada):
    stranger = ColonyFactory(tag="X1", yard=YardFactory(name="Far Field"))

    with pytest.raises(services.ColonyElsewhere):
        services.record_mite_wash(visit_id=visit.pk, colony_id=stranger.pk, mites=6, actor=ada)


def test_mites_and_bees_the_wrong_way_round_are_refused(visit, ada):
    with pytest.raises(services.MoreMitesThanBees) as refusal:
        services.record_mite_wash(visit_id=visit.pk, mites=300, bees=60, actor=ada)

    assert str(refusal.value) == "300 mites on 60 bees cannot be: count again, mites first."
    assert MiteWash.objects.count() == 0


def test_a_wash_is_corrected_and_keeps_what_it_said(visit, ada):
    wash = MiteWashFactory(visit=visit, mites=30)

    services.correct_mite_wash(wash_id=wash.pk, mites=3, bees=300, method="soap", actor=ada)

    assert [(row.mites, row.method) for row in wash.history.order_by("history_id")] == [(30, "alcohol"), (3, "soap")]


def test_a_wash_at_the_limit_asks_to_treat_until_it_is_corrected(visit, yard, ada):
    colony = ColonyFactory(yard=yard, tag="C0007")

    wash = services.record_mite_wash(visit_id=visit.pk, colony_id=colony.pk, mites=9, actor=ada)
    services.record_mite_wash(visit_id=visit.pk, mites=5, actor=ada)

    task = Task.objects.get()
    assert task.what == "Treat for mites: 3.0 % washed, the limit is 2 %"
    assert (task.colony, task.due_on) == (colony, TENTH)

    services.correct_mite_wash(wash_id=wash.pk, mites=12, bees=300, method="alcohol", actor=ada)
    assert Task.objects.get().what == "Treat for mites: 4.0 % washed, the limit is 2 %"

    services.correct_mite_wash(wash_id=wash.pk, mites=3, bees=300, method="alcohol", actor=ada)
    assert not Task.objects.exists()


def test_suspect_brood_holds_the_yard_and_calls_the_inspector(visit, yard, ada):
    colony = ColonyFactory(yard=yard, tag="C0007")

    services.record_brood_check(visit_id=visit.pk, colony_id=colony.pk, result="suspect", actor=ada)
    services.record_brood_check(visit_id=visit.pk, colonies_checked=6, result="suspect", actor=ada)

    assert Hold.objects.get().reason == "disease suspected in C0007"
    assert Task.objects.get().what == "Call the inspector: disease suspected in C0007"


def test_clear_brood_holds_nothing(visit, ada):
    services.record_brood_check(visit_id=visit.pk, colonies_checked=12, result="clear", actor=ada)

    assert Hold.objects.count() == Task.objects.count() == 0


def test_a_check_corrected_to_suspect_holds_the_yard(visit, yard, ada):
    check = services.record_brood_check(visit_id=visit.pk, colonies_checked=12, result="clear", actor=ada)

    services.correct_brood_check(check_id=check.pk, colonies_checked=12, result="suspect", note="ropy", actor=ada)

    assert Hold.objects.get().reason == "disease suspected in a colony of Mill Lane"


def test_strips_make_the_task_to_take_them_out(give, ada):
    given = give("amitraz", label_lot="A-12").treatments[0]

    task = Task.objects.get()
    assert (given.due_out_on, task.due_on) == (date(2027, 5, 29), date(2027, 5, 29))
    assert (task.what, task.rule, task.source) == ("Take out: Amitraz strips", "strips", f"treatment:{given.pk}")
    services.end_treatment(treatment_id=given.pk, on=TENTH, today=TENTH, actor=ada)
    task.refresh_from_db()
    assert (task.done_on, task.done_by) == (TENTH, ada)


def test_what_may_stay_in_makes_no_task(give):
    give("oxalic-dribble")

    assert Task.objects.count() == 0


def test_a_weak_colony_gets_no_formic_acid(give, yard, visit):
    weak = counted(yard, visit, "C0005", 10)

    with pytest.raises(services.TooWeakToTreat) as refusal:
        give("formic-quick", colony_id=weak.pk)

    assert str(refusal.value) == (
        "Formic acid, quick strips asks for 6 frames of bees. Too weak for it: C0005. Leave these out."
    )


def test_a_yard_is_treated_without_its_weak_colonies(give, yard, visit):
    counted(yard, visit, "C0001", 12)
    counted(yard, visit, "C0002", 9)
    ColonyFactory(yard=yard, tag="C0003")

    with pytest.raises(services.TooWeakToTreat):
        give("formic-slow")
    given = give("formic-slow", leaves_out_weak=True)

    assert [treatment.colony.tag for treatment in given.treatments] == ["C0001", "C0003"]
    assert (given.left_out, given.not_counted) == (["C0002"], ["C0003"])


def test_a_yard_of_weak_colonies_only_is_refused(give, yard, visit):
    counted(yard, visit, "C0001", 6)

    with pytest.raises(services.TooWeakToTreat):
        give("formic-slow", leaves_out_weak=True)


def test_a_yard_strong_enough_has_one_treatment(give, yard, visit):
    counted(yard, visit, "C0001", 12)

    assert [treatment.colony for treatment in give("formic-slow").treatments] == [None]


@pytest.mark.parametrize(("temperature", "is_refused"), [("29.5", False), ("30.0", True)])
def test_heat_forbids_formic_acid(give, temperature, is_refused):
    if not is_refused:
        assert give("formic-quick", temperature_c=Decimal(temperature)).treatments
        return
    with pytest.raises(services.TooWarmToTreat) as refusal:
        give("formic-quick", temperature_c=Decimal(temperature))

    assert str(refusal.value) == (
        "Formic acid, quick strips is not given above 29.5 °C: it harms brood and queen. Wait for a cooler day."
    )


def test_days_outside_the_label_are_refused(give):
    with pytest.raises(services.OutsideLabel) as refusal:
        give("amitraz", due_out_on=date(2027, 6, 10))

    assert str(refusal.value) == "Amitraz strips: the label allows 42 to 56 days, not 68. Choose a day within them."


def test_the_same_strips_are_not_given_twice_at_once(give, yard):
    colony = ColonyFactory(yard=yard)
    give("amitraz")

    with pytest.raises(services.StillInTheHive) as refusal:
        give("amitraz", colony_id=colony.pk)

    assert str(refusal.value) == "Amitraz strips has been in Mill Lane since Sat 3 Apr 2027. End that treatment first."


def test_a_treatment_is_of_its_season_and_not_of_the_future(give):
    with pytest.raises(services.FutureDay):
        give("amitraz", starts_on=date(2027, 4, 11))
    with pytest.raises(services.OutsideSeason):
        give("amitraz", starts_on=date(2020, 4, 1))


def test_a_retired_treatment_is_refused(give, kinds):
    TreatmentKind.objects.update(is_in_use=False)

    with pytest.raises(services.TreatmentRetired):
        give("amitraz")


def test_a_treatment_ends_once_and_not_before_it_began(ada):
    treatment = TreatmentFactory(starts_on=THIRD, due_out_on=date(2027, 5, 29))

    with pytest.raises(services.TreatmentEndsTooEarly):
        services.end_treatment(treatment_id=treatment.pk, on=date(2027, 4, 2), today=TENTH, actor=ada)
    services.end_treatment(treatment_id=treatment.pk, on=TENTH, today=TENTH, actor=ada)
    with pytest.raises(services.TreatmentEnded, match="This already ended on Sat 10 Apr 2027."):
        services.end_treatment(treatment_id=treatment.pk, on=TENTH, today=TENTH, actor=ada)


def test_how_a_treatment_stands_is_said_in_words(kinds):
    strips, formic = kinds["amitraz"], kinds["formic-quick"]
    rows = [
        TreatmentFactory(kind=strips, due_out_on=date(2027, 4, 8)),
        TreatmentFactory(kind=strips, due_out_on=TENTH),
        TreatmentFactory(kind=strips, due_out_on=date(2027, 4, 11)),
        TreatmentFactory(kind=formic, due_out_on=date(2027, 4, 11)),
        TreatmentFactory(kind=formic, due_out_on=date(2027, 4, 9)),
        TreatmentFactory(kind=strips, ended_on=THIRD),
    ]

    said = [row.words for row in queries.treatment_rows(rows, TENTH)]

    assert said == ["out 2 days late", "out today", "out in 1 day", "working", "over", "ended"]
    assert set(queries.treatments_running(TENTH)) == set(rows[:4])


def test_the_treatments_of_a_season_hold_those_still_in_from_before(season):
    old = TreatmentFactory(starts_on=date(2020, 2, 1), due_out_on=date(2020, 4, 1))
    TreatmentFactory(starts_on=date(2020, 2, 1), due_out_on=date(2020, 4, 1), ended_on=date(2020, 4, 1))
    own = TreatmentFactory()

    assert list(queries.treatments_of_season(season)) == [old, own]


def test_poor_queens_are_listed_until_they_are_replaced(visit, yard, season, ada):
    spotty, mended, dead, fine = (ColonyFactory(yard=yard, tag=f"Q{number}") for number in range(1, 5))
    for colony, queen in ((spotty, "spotty"), (mended, "none"), (dead, "drones"), (fine, "seen")):
        LookFactory(visit=visit, colony=colony, queen=queen)
    TaskFactory(yard=yard, colony=mended, season=season, rule="requeen", done_on=TENTH, done_by=ada)
    services.end_colony(colony_id=dead.pk, state="lost", on=TENTH, today=TENTH, cause="dwindled", actor=ada)
    TaskFactory(yard=yard, colony=fine, season=season, rule="requeen", due_on=date(2027, 5, 1))

    rows = queries.requeening_list(season.pk, TENTH)

    assert [(row.colony.tag, row.words, row.due_on, row.days) for row in rows] == [
        ("Q1", "spotty brood", None, 7),
        ("Q4", "to be requeened", date(2027, 5, 1), None),
    ]


def test_a_treatment_that_was_given_is_never_deleted(ada):
    treatment = TreatmentFactory()

    with pytest.raises(IntegrityError, match="A treatment is never deleted"), transaction.atomic():
        Treatment.objects.filter(pk=treatment.pk).delete()
