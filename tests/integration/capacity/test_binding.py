"""What binds in a week: the least of all that is known, and what more of it would add."""

from datetime import date

import pytest

from apiary_ops.capacity import queries
from apiary_ops.capacity.models import WeekLimit
from tests.factories.capacity import stand_forecast
from tests.factories.nucs import NucFactory
from tests.factories.orders import LineFactory, OrderFactory, RoundFactory
from tests.factories.queens import QueenOrderFactory

pytestmark = pytest.mark.django_db

WEEK, NEXT = date(2027, 5, 3), date(2027, 5, 10)


@pytest.fixture
def forecast(season, kind):
    """Forty nucs by the first week of a middle spring and sixty by the next, bees and brood alike."""
    forecast = stand_forecast(season, kind, {WEEK: 40, NEXT: 60}, spring="middle")
    yard = forecast.rows.first().yard
    return stand_forecast(season, kind, {WEEK: 50, NEXT: 70}, spring="high", yard=yard, forecast=forecast)


def binds(season, week=WEEK):
    row = queries.binding(season.pk, week)
    return row.resource, row.nucs, row.adds, row.next_resource


@pytest.mark.usefixtures("forecast")
def test_without_anything_stated_brood_or_bees_bind(season):
    assert binds(season) == ("brood", 40, 0, "bees")


@pytest.mark.usefixtures("forecast")
def test_queens_in_hand_and_due_by_the_week_bind(season):
    QueenOrderFactory(season=season, queens=25, ship_week=WEEK)
    QueenOrderFactory(season=season, queens=25, ship_week=NEXT)
    QueenOrderFactory(season=season, queens=99, ship_week=WEEK, cancelled_on=date(2027, 3, 1))

    assert binds(season) == ("queens", 25, 15, "brood")
    assert binds(season, NEXT) == ("queens", 50, 10, "brood")


@pytest.mark.usefixtures("forecast")
def test_boxes_less_those_in_use_bind(season, kind):
    WeekLimit.objects.create(season=season, week=WEEK, boxes=30)
    NucFactory.create_batch(2, batch__kind=kind, batch__split_day__season=season)

    assert binds(season) == ("boxes", 28, 12, "brood")


@pytest.mark.usefixtures("forecast")
def test_people_bind_by_what_they_make_in_a_day(season):
    WeekLimit.objects.create(season=season, week=WEEK, person_days="1.5")

    assert binds(season) == ("crew", 30, 10, "brood")


def test_a_week_beyond_the_forecast_has_no_answer(season, forecast):
    assert queries.binding(season.pk, date(2027, 9, 6)) is None


def test_before_the_first_forecast_there_is_no_answer(season, kind):
    assert queries.binding(season.pk, WEEK) is None


def test_the_picture_sets_promises_beside_what_could_be_sold(season, kind, forecast):
    round_ = RoundFactory(season=season, starts_on=date(2027, 5, 31), ends_before=date(2027, 6, 14))
    LineFactory(order=OrderFactory(season=season), round=round_, kind=kind, quantity=12, state="promised")
    LineFactory(order=OrderFactory(season=season), round=round_, kind=kind, quantity=5, state="waiting")
    kinds = queries.kind_capacity(queries.latest_forecast(season.pk))

    weeks = queries.picture_weeks(season.pk, kinds[0], kinds)

    # 84 % of queens still lay at sale, four weeks after make-up; the round's last week is that of 7 June.
    assert [(row.week, row.low, row.middle, row.high, row.promised) for row in weeks] == [
        (date(2027, 5, 31), 0, 33, 42, 0),
        (date(2027, 6, 7), 0, 50, 58, 12),
    ]
