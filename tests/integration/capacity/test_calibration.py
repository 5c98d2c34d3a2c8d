"""Own factors from the season's pairs, growth taken out, accepted by the grower."""

from datetime import date
from decimal import Decimal

import numpy as np
import pytest

from apiary_ops.capacity import compute, queries, services
from apiary_ops.yards import services as yards
from apiary_ops.yards.models import FrameMove
from tests.factories.yards import ColonyFactory, LookFactory, VisitFactory

pytestmark = pytest.mark.django_db

FIRST, SECOND, TODAY = date(2027, 4, 3), date(2027, 4, 13), date(2027, 4, 14)


@pytest.fixture
def both_ways(season, yard):
    """Twelve colonies counted both ways on a cool day: six frames from below, eight from above."""
    yards.install_reference_rules()
    visit = VisitFactory(season=season, yard=yard, on=FIRST)
    for _ in range(12):
        LookFactory(visit=visit, colony=ColonyFactory(yard=yard), below_halves=12, above_halves=16)


@pytest.fixture
def two_days(season, yard):
    """Twelve colonies of six frames on a cool day that stood at nine on a warm one ten days later."""
    yards.install_reference_rules()
    cool, warm = (
        VisitFactory(season=season, yard=yard, on=on, temperature_c=Decimal(at))
        for on, at in ((FIRST, 5), (SECOND, 16))
    )
    for _ in range(12):
        colony = ColonyFactory(yard=yard)
        LookFactory(visit=cool, colony=colony, below_halves=12)
        LookFactory(visit=warm, colony=colony, below_halves=18)


def own(season):
    return {(row.view, row.warmer_than_c): row for row in queries.own_factors(season.pk, TODAY)}


def test_views_of_one_minute(season, both_ways):
    (row,) = own(season).values()

    assert (row.view, row.pairs, row.factor, row.in_force) == ("above", 12, Decimal("0.75"), Decimal("0.900"))
    assert row.is_offered


def test_the_growth_between_two_days_is_taken_out(season, two_days):
    run = compute.build_up([6], np.nan, starts_on=FIRST, days=10)
    growth = float(run.bees_frames[10, 0] / run.bees_frames[0, 0])

    row = own(season)["below", Decimal("15.0")]

    assert row.pairs == 12
    assert float(row.factor) == pytest.approx(6 * growth / 9, abs=0.006)


def test_a_pair_between_which_frames_moved_says_nothing(season, two_days, yard, owner):
    giver, taker = yard.colonies.order_by("id")[:2]
    FrameMove.objects.create(on=date(2027, 4, 8), from_colony=giver, to_colony=taker, brood_frames=1, moved_by=owner)

    assert own(season)["below", Decimal("15.0")].pairs == 10


def accept(season, owner, factor):
    return services.accept_own_factor(
        season_id=season.pk,
        view="above",
        warmer_than_c=Decimal("-30.0"),
        factor=Decimal(factor),
        today=TODAY,
        actor=owner,
    )


def test_a_factor_below_the_warmer_bands_waits_for_them(season, both_ways, owner):
    with pytest.raises(yards.FactorOutOfOrder):
        accept(season, owner, "0.75")


def test_the_grower_accepts_what_was_shown(season, yard, owner):
    yards.install_reference_rules()
    visit = VisitFactory(season=season, yard=yard, on=FIRST)
    for _ in range(12):
        LookFactory(visit=visit, colony=ColonyFactory(yard=yard), below_halves=14, above_halves=16)

    row = accept(season, owner, "0.88")

    assert (row.factor, row.valid_from, row.stated_by) == (Decimal("0.88"), TODAY, owner)
    assert row.source == "own pairs: 12, the middle half from 0.88 to 0.88"
    assert not any(one.is_offered for one in own(season).values())


def test_what_the_pairs_no_longer_say_is_not_taken(season, both_ways, owner):
    with pytest.raises(services.NoLongerOffered) as refusal:
        accept(season, owner, "0.80")
    assert str(refusal.value) == ("Your pairs of counts no longer speak for this factor. Look at what they say now.")


def test_without_pairs_nothing_is_said(season):
    assert queries.own_factors(season.pk, TODAY) == []
