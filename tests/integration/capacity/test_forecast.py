"""A forecast is made from what was seen, stored with what it came from, and knows when it is out of date."""

from datetime import date
from decimal import Decimal

import pytest
from django.db.models import Sum

from apiary_ops.business import stamps
from apiary_ops.capacity import compute, queries, services
from apiary_ops.capacity.models import Forecast, ForecastRow
from apiary_ops.nucs.models import Donation
from tests.factories.capacity import AssumptionsFactory
from tests.factories.nucs import NucFactory, NucKindFactory, SplitDayFactory
from tests.factories.orders import RoundFactory
from tests.factories.yards import ColonyFactory, HoldFactory, YardFactory

pytestmark = pytest.mark.django_db

TODAY = date(2027, 4, 12)
WEEK = date(2027, 5, 17)


def make(season, today=TODAY, **more):
    return services.make_forecast(season_id=season.pk, today=today, **more)


def sums(forecast, week=WEEK):
    rows = ForecastRow.objects.filter(forecast=forecast, week=week).values_list("spring")
    return dict(rows.annotate(nucs=Sum("pooled")).order_by())


def test_a_colony_goes_in_as_it_was_seen(season, kind, seen, yard):
    seen(13, boxes=2)
    seen(12, on=date(2027, 4, 9), sealed=5, boxes=1)

    forecast = make(season)

    expected = compute.three_springs(
        [
            compute.ColonyStart("a", str(yard.pk), 6.5, None, date(2027, 4, 3), 20),
            compute.ColonyStart("b", str(yard.pk), 6.0, 2.5, date(2027, 4, 9), 10),
        ],
        weeks=compute.make_up_weeks(2027, TODAY),
        recipe=compute.Recipe(2.5, 2),
        keep=compute.Keep(7, 3.5),
        shifts={"low": 14, "middle": 0, "high": -7},
    )
    stored = ForecastRow.objects.filter(forecast=forecast).order_by("id")
    assert [(row.spring, row.week, row.alone, row.pooled) for row in stored] == [
        (row.spring, row.week, row.alone_by, row.pooled_by) for row in expected
    ]
    for row, computed in zip(stored, expected, strict=True):
        assert 0 <= computed.surplus_brood - float(row.surplus_brood) < 0.1 + 1e-9
        assert int(row.surplus_brood // 2) == computed.brood_limit
        assert int(row.surplus_bees // Decimal("2.5")) == computed.bees_limit
    assert sums(forecast)["high"] > 0


def test_a_late_spring_gives_least_and_an_early_one_most(season, kind, seen):
    seen(*[13] * 10)

    late, middle, early = (sums(make(season), date(2027, 5, 3))[spring] for spring in ("low", "middle", "high"))

    assert 0 < late < middle < early


def test_frames_given_on_a_split_day_are_gone(season, kind, seen, yard):
    looks = seen(*[13] * 10)
    before = sums(make(season, date(2027, 5, 5)))["middle"]
    day = SplitDayFactory(season=season, yard=yard, on=date(2027, 5, 4))
    for look in looks:
        Donation.objects.create(split_day=day, colony=look.colony, bees_frames=3, brood_frames=3)

    after = sums(make(season, date(2027, 5, 5)))["middle"]

    assert after < before


def test_frames_given_before_a_colony_was_looked_at_are_in_the_look(season, kind, seen, yard):
    look, *_ = seen(*[13] * 10, on=date(2027, 5, 3))
    before = sums(make(season, date(2027, 5, 5)))
    day = SplitDayFactory(season=season, yard=yard, on=date(2027, 5, 1))
    Donation.objects.create(split_day=day, colony=look.colony, bees_frames=6, brood_frames=3)

    assert sums(make(season, date(2027, 5, 5))) == before


def test_colonies_left_out_are_counted_by_reason(season, kind, seen, yard):
    seen(13, 12)
    seen(14, purpose="honey")
    seen(5)
    held = YardFactory(code="hill")
    seen(13, at=held)
    HoldFactory(yard=held, reason="brood disease suspected", starts_on=date(2027, 4, 10))

    forecast = make(season)

    assert forecast.colonies_counted == 2
    assert forecast.colonies_left_out == {
        "kept for honey": 1,
        "graded behind, which gives no nucs": 1,
        "on hold: brood disease suspected": 1,
    }
    assert forecast.unseen_tags == []


def test_colonies_nobody_looked_at_this_year_are_named(season, kind, seen, yard):
    seen(13)
    ColonyFactory(yard=yard, tag="N7")
    seen(16, on=date(2026, 11, 20), tag="A1")

    forecast = make(season)

    assert forecast.colonies_counted == 1
    assert forecast.colonies_left_out == {"not looked at this year": 2}
    assert sorted(forecast.unseen_tags) == ["A1", "N7"]
    assert forecast.last_looked_on == date(2027, 4, 3)


def test_a_season_without_looks_is_an_empty_forecast_that_says_why(season, kind, yard):
    ColonyFactory(yard=yard)

    forecast = make(season)

    assert not forecast.rows.exists()
    assert forecast.colonies_left_out == {"not looked at this year": 1}
    assert queries.season_capacity(season.pk) == []


def test_it_keeps_what_it_assumed(season, kind, seen):
    AssumptionsFactory(season=season, low_shift_days=21, keep_bees_frames=Decimal("8"))
    seen(*[13] * 10)

    forecast = make(season)

    assert forecast.assumptions == {
        "low_shift_days": 21,
        "middle_shift_days": 0,
        "high_shift_days": -7,
        "keep_bees_frames": 8.0,
        "keep_brood_frames": 3.5,
        "nucs_per_person_day": 20,
        "release_percent": 100,
    }


@pytest.mark.parametrize("area", ["yards", "nucs", "capacity"])
def test_it_is_stale_once_something_it_came_from_changed(season, kind, seen, area):
    seen(13)
    make(season)
    fresh = queries.latest_forecast(season.pk).is_stale

    stamps.bump(season.pk, area)

    assert (fresh, queries.latest_forecast(season.pk).is_stale) == (False, True)


@pytest.mark.parametrize("area", ["orders", "promise", "queens"])
def test_an_order_does_not_make_it_stale(season, kind, area):
    make(season)

    stamps.bump(season.pk, area)

    assert queries.latest_forecast(season.pk).is_stale is False


def test_the_last_ten_are_kept(season, kind, seen):
    seen(13)
    made = [make(season).pk for _ in range(12)]

    assert list(Forecast.objects.order_by("id").values_list("pk", flat=True)) == made[2:]


def test_it_knows_which_nucs_were_made_by_then(season, kind):
    NucFactory.create_batch(3, batch__kind=kind, batch__split_day__season=season)

    make(season)

    assert queries.latest_forecast(season.pk).nucs_made == {kind.pk: 3}


def test_each_kind_is_forecast_by_its_own_recipe(season, kind, seen):
    small = NucKindFactory(code="small", name="4-frame nuc", make_up_bees=Decimal("2"), make_up_brood=Decimal("1.5"))
    seen(*[13] * 10)

    make(season)

    by_kind = {row.kind_id: row for row in queries.season_capacity(season.pk) if row.week == WEEK}
    assert by_kind[small.pk].middle > by_kind[kind.pk].middle > 0
    assert by_kind[kind.pk].middle_alone <= by_kind[kind.pk].middle


def test_each_yard_has_its_figures(season, kind, seen, yard):
    hill = YardFactory(code="a-hill", name="Hill yard")
    seen(*[13] * 10)
    seen(*[11] * 4, at=hill)
    make(season)
    forecast = queries.latest_forecast(season.pk)

    (capacity,) = queries.kind_capacity(forecast)

    rows = queries.yard_capacity(forecast, capacity)

    assert [row.yard for row in rows] == [hill, yard]
    assert (sum(row.low for row in rows), sum(row.high for row in rows)) == (capacity.low, capacity.high)


def test_weeks_too_late_for_any_round_are_left_out(season, kind, seen):
    seen(*[13] * 10)
    make(season)
    forecast = queries.latest_forecast(season.pk)
    every_week = queries.kind_capacity(forecast)[0].weeks

    RoundFactory(season=season, ends_before=date(2027, 6, 21))

    weeks = queries.kind_capacity(forecast)[0].weeks
    assert (every_week[-1].week, weeks[-1].week) == (date(2027, 7, 12), date(2027, 5, 17))
    assert weeks[0].high > 0
