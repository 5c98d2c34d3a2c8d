"""Visits: recorded once, on a day that was."""

from datetime import date, time
from decimal import Decimal
from uuid import uuid4

import pytest
from django.core.exceptions import ValidationError

from apiary_ops.business import stamps
from apiary_ops.core.once import AlreadyDone
from apiary_ops.core.versions import StaleRecord
from apiary_ops.yards import queries, services
from apiary_ops.yards.models import MaterialUse, Visit
from apiary_ops.yards.services import MaterialDraft
from tests.factories.business import SeasonFactory
from tests.factories.people import UserFactory
from tests.factories.yards import ColonyFactory, LookFactory, VisitFactory, YardFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def values(today):
    return {
        "season_id": SeasonFactory(year=2027).pk,
        "yard_id": YardFactory(name="Mill Lane", round_trip_km=64).pk,
        "on": today,
        "today": today,
        "actor": UserFactory(crew=True),
    }


def test_a_visit_takes_the_round_trip_of_its_yard(values):
    visit = services.record_visit(**values, temperature_c=Decimal("6.5"), sky="cloud")

    assert (visit.km, visit.people, visit.temperature_c, visit.view) == (64, 1, Decimal("6.5"), "below")
    assert stamps.read(values["season_id"], ["yards"]) == {"yards": 1}


def test_the_crew_counts_as_people(values):
    crew = UserFactory.create_batch(3, crew=True)

    visit = services.record_visit(**values, crew_ids=[user.pk for user in crew], km=0)

    assert visit.people == 3
    assert visit.km == 0
    assert set(visit.crew.all()) == set(crew)


def test_a_visit_to_come_is_refused(values):
    with pytest.raises(services.FutureDay, match="A visit cannot be recorded before it happens: Tue 13 Apr 2027"):
        services.record_visit(**values | {"on": date(2027, 4, 13)})


def test_a_visit_outside_the_season_is_refused(values):
    with pytest.raises(services.OutsideSeason, match="Mon 31 Aug 2026 is not in the season 2027"):
        services.record_visit(**values | {"on": date(2026, 8, 31)})


def test_a_yard_out_of_use_is_not_visited(values):
    yard = YardFactory(is_active=False, name="Old Mill")

    with pytest.raises(services.YardNotInUse, match="Old Mill is not in use"):
        services.record_visit(**values | {"yard_id": yard.pk})


def test_three_hundred_degrees_are_no_weather(values):
    with pytest.raises(ValidationError, match="between −30 and 45"):
        services.record_visit(**values, temperature_c=Decimal(300))


def test_a_form_sent_twice_records_one_visit(values):
    key = uuid4()
    visit = services.record_visit(**values, once_key=key)

    with pytest.raises(AlreadyDone) as refusal:
        services.record_visit(**values, once_key=key)

    assert refusal.value.result == f"visit:{visit.pk}"
    assert Visit.objects.count() == 1


def test_a_visit_is_closed_with_its_minutes_and_crew():
    visit, crew = VisitFactory(minutes=0), UserFactory.create_batch(4, crew=True)

    services.edit_visit(
        visit_id=visit.pk,
        version=1,
        changes={"minutes": 95, "people": 2, "crew_ids": [user.pk for user in crew]},
        actor=UserFactory(),
    )

    visit.refresh_from_db()
    assert (visit.minutes, visit.people, visit.version) == (95, 4, 2)


def test_visits_of_a_season_come_latest_first_with_their_looks():
    season = SeasonFactory(year=2027)
    early, late = VisitFactory(on=date(2027, 3, 1)), VisitFactory(on=date(2027, 4, 1))
    LookFactory.create_batch(2, visit=early)
    VisitFactory(season=SeasonFactory(year=2026), on=date(2026, 5, 1))

    rows = queries.visits_of_season(season.pk)

    assert [(row, row.look_count) for row in rows] == [(late, 0), (early, 2)]


# --- Times, jobs and what was used up.


def jobs_of(visit):
    return sorted(visit.jobs_done.values_list("job", flat=True))


def used_on(visit):
    return list(visit.materials.order_by("id").values_list("material", "quantity", "colony__tag", "note"))


def test_the_minutes_are_those_between_arriving_and_leaving(values):
    visit = services.record_visit(**values, arrived_at=time(9, 20), left_at=time(11, 5), minutes=30, depth="sample")

    visit.refresh_from_db()
    assert (visit.arrived_at, visit.left_at, visit.minutes, visit.depth) == (time(9, 20), time(11, 5), 105, "sample")


def test_without_both_times_the_minutes_are_as_noted(values):
    visit = services.record_visit(**values, arrived_at=time(9, 20), minutes=40)

    assert visit.minutes == 40


def test_nobody_leaves_before_arriving(values):
    words = "The crew arrived at 11:05 and cannot leave at 09:20. Mend the times, or leave one empty and note the"

    with pytest.raises(services.LeftBeforeArriving, match=words):
        services.record_visit(**values, arrived_at=time(11, 5), left_at=time(9, 20))
    visit = services.record_visit(**values, arrived_at=time(11, 5))
    with pytest.raises(services.LeftBeforeArriving, match=words):
        services.leave_visit(visit_id=visit.pk, left_at=time(9, 20), actor=values["actor"])
    with pytest.raises(services.LeftBeforeArriving, match=words):
        services.edit_visit(visit_id=visit.pk, version=1, changes={"left_at": time(9, 20)}, actor=values["actor"])


def test_a_visit_notes_its_jobs_and_what_was_used(values):
    colony = ColonyFactory(yard_id=values["yard_id"], tag="C0001")

    visit = services.record_visit(
        **values,
        jobs=["feed", "fence"],
        materials=[
            MaterialDraft("syrup", Decimal("40.5")),
            MaterialDraft("patty", Decimal(1), colony_id=colony.pk, note=" light one "),
        ],
    )

    assert jobs_of(visit) == ["feed", "fence"]
    assert used_on(visit) == [
        ("syrup", Decimal("40.50"), None, ""),
        ("patty", Decimal(1), "C0001", "light one"),
    ]


@pytest.mark.parametrize(
    ("given", "refusal", "words"),
    [
        ({"jobs": ["dancing"]}, services.UnknownJob, "“dancing” is no job of the list."),
        ({"materials": [MaterialDraft("honey", Decimal(1))]}, services.UnknownMaterial, "“honey” is no material"),
        ({"materials": [MaterialDraft("syrup", Decimal(0))]}, services.NothingUsed, "syrup, L: say how much was used"),
    ],
)
def test_what_is_not_in_the_lists_is_refused(values, given, refusal, words):
    with pytest.raises(refusal, match=words):
        services.record_visit(**values, **given)

    assert Visit.objects.count() == 0


def test_nothing_is_used_on_a_colony_of_another_yard(values):
    stranger = ColonyFactory(tag="X1", yard=YardFactory(name="Far Field"))

    with pytest.raises(services.ColonyElsewhere, match="X1 stands in Far Field, not in Mill Lane"):
        services.record_visit(**values, materials=[MaterialDraft("patty", Decimal(1), colony_id=stranger.pk)])


def test_two_of_one_crew_leave_in_either_order(values):
    ada = values["actor"]
    first = {"left_at": time(10, 40), "jobs": ["look", "feed"], "materials": [MaterialDraft("syrup", Decimal(20))]}
    second = {"left_at": time(10, 55), "jobs": ["feed", "strips"], "materials": [MaterialDraft("patty", Decimal(6))]}
    ends = []
    for order in ([first, second], [second, first]):
        visit = services.record_visit(**values, arrived_at=time(9, 30))
        for leaving in order:
            visit = services.leave_visit(visit_id=visit.pk, actor=ada, **leaving)
        ends.append((visit.left_at, visit.minutes, visit.km, jobs_of(visit), sorted(used_on(visit))))

    assert ends[0] == ends[1]
    assert ends[0][:4] == (time(10, 55), 85, 64, ["feed", "look", "strips"])


def test_leaving_notes_minutes_where_nobody_knows_when_the_crew_came(values):
    visit = services.record_visit(**values)

    visit = services.leave_visit(visit_id=visit.pk, left_at=time(12), minutes=70, km=12, actor=values["actor"])

    visit.refresh_from_db()
    assert (visit.minutes, visit.km, visit.left_at) == (70, 12, time(12))


def test_jobs_and_materials_are_mended_with_the_header(values):
    ada = values["actor"]
    syrup = MaterialDraft("syrup", Decimal(20))
    visit = services.record_visit(**values, jobs=["feed", "mow"], materials=[syrup, MaterialDraft("patty", Decimal(3))])
    kept = visit.materials.get(material="syrup").pk

    services.edit_visit(
        visit_id=visit.pk,
        version=1,
        changes={"jobs": ["feed"], "materials": [syrup, MaterialDraft("patty", Decimal(4))]},
        actor=ada,
    )

    visit.refresh_from_db()
    assert (jobs_of(visit), visit.version) == (["feed"], 2)
    assert used_on(visit) == [("syrup", Decimal(20), None, ""), ("patty", Decimal(4), None, "")]
    assert visit.materials.get(material="syrup").pk == kept
    assert MaterialUse.history.filter(history_type="-", history_user=ada).count() == 1
    assert stamps.read(values["season_id"], ["yards"]) == {"yards": 2}


def test_jobs_changed_meanwhile_are_a_question(values):
    ada = values["actor"]
    visit = services.record_visit(**values)
    services.edit_visit(visit_id=visit.pk, version=1, changes={"jobs": ["feed"]}, actor=ada)

    with pytest.raises(StaleRecord):
        services.edit_visit(visit_id=visit.pk, version=1, changes={"jobs": ["mow"]}, actor=ada)


def test_a_visit_saved_as_it_was_changes_nothing(values):
    syrup = MaterialDraft("syrup", Decimal(20))
    visit = services.record_visit(**values, jobs=["feed"], materials=[syrup])

    services.edit_visit(
        visit_id=visit.pk, version=1, changes={"jobs": ["feed"], "materials": [syrup]}, actor=values["actor"]
    )

    visit.refresh_from_db()
    assert visit.version == 1
    assert stamps.read(values["season_id"], ["yards"]) == {"yards": 1}
