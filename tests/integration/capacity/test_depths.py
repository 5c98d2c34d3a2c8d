"""Yards that were only sampled or tallied count too, with a wider range from a late to an early spring."""

from datetime import date

import pytest
from django.db.models import Sum

from apiary_ops.capacity import queries, services
from apiary_ops.capacity.models import ForecastRow
from tests.factories.yards import ColonyFactory, TallyFactory, VisitFactory, YardFactory

pytestmark = pytest.mark.django_db

TODAY = date(2027, 4, 12)
WEEK = date(2027, 5, 3)


def nucs(season, yard):
    forecast = services.make_forecast(season_id=season.pk, today=TODAY)
    rows = ForecastRow.objects.filter(forecast=forecast, week=WEEK, yard=yard).values_list("spring")
    return dict(rows.annotate(nucs=Sum("pooled")).order_by())


@pytest.fixture
def tallied(season, kind, yard):
    """Thirty colonies of a yard, tallied as good: from four frames up to six, so five in the middle."""
    ColonyFactory.create_batch(30, yard=yard)
    TallyFactory(visit=VisitFactory(season=season, yard=yard, depth="tally"), counts={"good": 30})
    return yard


def test_a_tallied_yard_counts_with_a_wider_range_than_one_looked_at(season, kind, seen, tallied):
    looked_at = YardFactory(code="looked-at")
    seen(*[10] * 30, at=looked_at)

    by_tally, by_look = nucs(season, tallied), nucs(season, looked_at)

    assert by_tally["middle"] == by_look["middle"] > 0
    assert by_tally["low"] < by_look["low"]
    assert by_tally["high"] > by_look["high"]


def test_the_forecast_says_how_many_count_by_which_depth(season, kind, seen, tallied):
    seen(*[12] * 3, at=YardFactory(code="looked-at"))
    sampled = YardFactory(code="sampled")
    seen(*[12] * 4, at=sampled)
    sampled.visits.update(depth="sample")
    ColonyFactory.create_batch(2, yard=sampled)

    services.make_forecast(season_id=season.pk, today=TODAY)

    forecast = queries.latest_forecast(season.pk)
    assert forecast.counted_by == {"look": 7, "sample": 2, "tally": 30}
    assert (forecast.by_look, forecast.by_sample, forecast.by_tally) == (7, 2, 30)
    assert (forecast.unseen_tags, forecast.share_looked_at) == ([], 17)


def test_a_forecast_made_before_depths_were_kept_counts_all_as_looked_at(season, kind, seen):
    seen(12, 12)
    forecast = services.make_forecast(season_id=season.pk, today=TODAY)
    forecast.counted_by = {}
    forecast.save()

    found = queries.latest_forecast(season.pk)

    assert (found.by_look, found.by_tally, found.share_looked_at) == (2, 0, 100)
