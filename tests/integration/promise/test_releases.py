"""What may be promised follows the forecast; what is promised already stays, and is named when at risk."""

from datetime import UTC, date, datetime

import pytest

from apiary_ops.promise import queries, services
from apiary_ops.promise.models import Release
from tests.factories.capacity import ForecastFactory, stand_forecast
from tests.factories.nucs import NucKindFactory
from tests.factories.orders import LineFactory, OrderFactory
from tests.integration.promise.conftest import BY_FIRST, BY_SECOND

pytestmark = pytest.mark.django_db

TODAY = date(2027, 4, 12)


def refresh(season):
    return services.refresh_releases(season_id=season.pk, today=TODAY)


@pytest.mark.usefixtures("forecast", "first", "second")
def test_every_round_and_kind_gets_its_release(season):
    refresh(season)

    rows = Release.objects.order_by("round__starts_on").values_list("round__name", "released", "promised", "short")
    assert list(rows) == [("first round", 8, 0, 0), ("second round", 16, 0, 0)]


@pytest.mark.usefixtures("forecast")
def test_a_worse_forecast_leaves_what_was_promised_and_names_what_is_at_risk(season, first, second, kind):
    LineFactory(order=OrderFactory(season=season), round=first, kind=kind, quantity=7, state="promised")
    at_first = refresh(season)

    stand_forecast(season, kind, {BY_FIRST: 5, BY_SECOND: 20})
    at_risk = refresh(season)

    assert at_first == []
    assert [(row.round, row.promised, row.released, row.short) for row in at_risk] == [(first, 7, 7, 3)]
    assert Release.objects.get(round=second).released == 9


def test_kinds_share_the_yards(season, first, kind):
    other = NucKindFactory(code="small-4", name="4-frame nuc", frames=4, weeks_to_sale=4, queen_laying_rate="0.8")
    forecast = stand_forecast(season, kind, {BY_FIRST: 10})
    stand_forecast(season, other, {BY_FIRST: 20}, forecast=forecast)
    LineFactory(order=OrderFactory(season=season), round=first, kind=kind, quantity=4, state="promised")

    rooms = {row.kind: row for row in queries.room(season.pk, TODAY)}

    assert (rooms[kind].room, rooms[other].room) == (4, 8)


def test_a_round_with_the_deposits_of_its_orders(season, first, kind, forecast):
    paid = OrderFactory(season=season, deposit_complete_at=datetime(2027, 1, 20, tzinfo=UTC))
    LineFactory(order=paid, round=first, kind=kind, quantity=2, state="promised")
    LineFactory(order=OrderFactory(season=season), round=first, kind=kind, quantity=3, state="promised")
    LineFactory(order=OrderFactory(season=season), round=first, kind=kind, quantity=4, state="waiting")

    (row,) = queries.room(season.pk, TODAY)

    assert (row.promised, row.paid, row.waiting, row.waiting_orders, row.room, row.safe) == (5, 2, 4, 1, 3, 8)


def test_the_first_step_is_named(season):
    asked = [queries.first_step(season.pk)]
    ForecastFactory(season=season)
    asked.append(queries.first_step(season.pk))
    ForecastFactory(season=season, colonies_left_out={"not looked at this year": 2}, unseen_tags=["A1", "A2"])
    asked.append(queries.first_step(season.pk))
    ForecastFactory(season=season, colonies_left_out={"kept for honey": 2})
    asked.append(queries.first_step(season.pk))
    ForecastFactory(season=season, colonies_counted=1)
    asked.append(queries.first_step(season.pk))

    assert asked == [
        "No forecast is made yet. Press “Recompute” under Capacity first.",
        "No colonies are recorded. Enter the yards and their colonies, look at them, then recompute.",
        "No colony was looked at this year. Record looks in the yards, then recompute.",
        "No colony counts for nucs. See under Capacity why each is left out.",
        "",
    ]
