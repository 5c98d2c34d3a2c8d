"""Visits: recorded once, on a day that was."""

from datetime import date
from decimal import Decimal
from uuid import uuid4

import pytest
from django.core.exceptions import ValidationError

from apiary_ops.business import stamps
from apiary_ops.core.once import AlreadyDone
from apiary_ops.yards import queries, services
from apiary_ops.yards.models import Visit
from tests.factories.business import SeasonFactory
from tests.factories.people import UserFactory
from tests.factories.yards import LookFactory, VisitFactory, YardFactory

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
