"""Rounds stand in whole weeks, and a price is found for the day and the tier."""

from datetime import date

import pytest

from apiary_ops.business import stamps
from apiary_ops.orders import queries, services
from tests.factories.business import SeasonFactory, TaxCategoryFactory
from tests.factories.nucs import NucKindFactory
from tests.factories.orders import LineFactory, RoundFactory
from tests.factories.people import UserFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def clerk():
    return UserFactory(office=True)


def test_a_round_is_opened_from_monday_to_monday(clerk):
    season = SeasonFactory()

    opened = services.open_round(
        season_id=season.pk, name="first", starts_on=date(2027, 5, 31), ends_before=date(2027, 6, 21), actor=clerk
    )

    assert list(queries.rounds(season.pk)) == [opened]
    assert stamps.read(season.pk, ["orders"]) == {"orders": 1}


@pytest.mark.parametrize(
    ("starts_on", "ends_before", "words"),
    [
        (date(2027, 6, 1), date(2027, 6, 21), "starts on a Monday"),
        (date(2027, 5, 31), date(2027, 6, 20), "ends before a Monday"),
        (date(2027, 6, 21), date(2027, 6, 21), "ends after it starts"),
        (date(2027, 6, 28), date(2027, 6, 21), "ends after it starts"),
    ],
)
def test_a_round_of_broken_weeks_is_refused(clerk, starts_on, ends_before, words):
    with pytest.raises(services.RoundNotInWeeks, match=words):
        services.open_round(
            season_id=SeasonFactory().pk, name="first", starts_on=starts_on, ends_before=ends_before, actor=clerk
        )


def test_a_second_round_of_the_same_name_is_refused(clerk):
    there = RoundFactory()

    with pytest.raises(services.RoundExists, match="already has a round called first round"):
        services.open_round(
            season_id=there.season_id,
            name="first round",
            starts_on=date(2027, 6, 21),
            ends_before=date(2027, 7, 5),
            actor=clerk,
        )


def test_a_round_with_promises_keeps_its_weeks_but_may_be_renamed(clerk):
    line = LineFactory(state="promised")

    renamed = services.edit_round(round_id=line.round_id, version=1, changes={"name": "early"}, actor=clerk)

    assert renamed.name == "early"
    with pytest.raises(services.RoundHasOrders, match="promised these weeks"):
        services.edit_round(round_id=line.round_id, version=2, changes={"starts_on": date(2027, 6, 7)}, actor=clerk)


def test_renaming_a_round_to_anothers_name_is_refused(clerk):
    first = RoundFactory()
    second = RoundFactory(name="second round", season=first.season)

    with pytest.raises(services.RoundExists, match="called first round"):
        services.edit_round(round_id=second.pk, version=1, changes={"name": "first round"}, actor=clerk)


def test_setting_a_price_again_for_the_same_day_replaces_it(clerk):
    season, kind, category = SeasonFactory(), NucKindFactory(), TaxCategoryFactory()
    common = {
        "season_id": season.pk,
        "kind_id": kind.pk,
        "valid_from": date(2026, 9, 1),
        "tax_category_id": category.pk,
        "actor": clerk,
    }

    services.set_price(cents=29500, **common)
    services.set_price(cents=29900, **common)
    services.set_price(cents=23000, tier="wholesale", **common)

    assert [price.cents for price in queries.prices(season.pk)] == [29900, 23000]
    day = date(2027, 1, 12)
    assert queries.price_on(season_id=season.pk, kind_id=kind.pk, tier="new", day=day).cents == 29900
    assert queries.price_on(season_id=season.pk, kind_id=kind.pk, tier="wholesale", day=day).cents == 23000


@pytest.mark.parametrize("cents", [0, -1])
def test_a_price_of_nothing_is_refused(clerk, cents):
    with pytest.raises(services.PriceOfNothing, match="Enter a price above zero."):
        services.set_price(
            season_id=SeasonFactory().pk,
            kind_id=NucKindFactory().pk,
            cents=cents,
            valid_from=date(2027, 1, 1),
            tax_category_id=TaxCategoryFactory().pk,
            actor=clerk,
        )


def test_a_price_that_has_not_begun_is_none(clerk):
    season, kind = SeasonFactory(), NucKindFactory()
    services.set_price(
        season_id=season.pk,
        kind_id=kind.pk,
        cents=29500,
        valid_from=date(2027, 1, 1),
        tax_category_id=TaxCategoryFactory().pk,
        actor=clerk,
    )

    assert queries.price_on(season_id=season.pk, kind_id=kind.pk, tier="new", day=date(2026, 12, 31)) is None
