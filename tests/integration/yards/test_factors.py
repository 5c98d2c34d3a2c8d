"""Factors are dated and never changed; a new one counts from its day."""

from datetime import date
from decimal import Decimal

import pytest

from apiary_ops.yards import queries, services
from apiary_ops.yards.models import Factor
from tests.factories.business import SeasonFactory
from tests.factories.people import UserFactory
from tests.factories.yards import ColonyFactory, LookFactory, VisitFactory

pytestmark = pytest.mark.django_db

APRIL = date(2027, 4, 12)


@pytest.fixture
def actor():
    services.install_reference_rules()
    return UserFactory()


def state(actor, view="below", warmer_than_c="15.0", factor="0.85", valid_from=APRIL):
    return services.state_factor(
        view=view,
        warmer_than_c=Decimal(warmer_than_c),
        factor=Decimal(factor),
        valid_from=valid_from,
        source="own pairs: 14, the middle half from 0.80 to 0.90",
        actor=actor,
    )


def test_a_factor_counts_from_its_day(actor):
    season = SeasonFactory(year=2027)
    visit = VisitFactory(season=season, on=date(2027, 4, 3), temperature_c=Decimal(16))
    LookFactory(visit=visit, colony=ColonyFactory(yard=visit.yard), below_halves=16)

    row = state(actor)

    def frames(day):
        return queries.graded_colonies(season.pk, day)[0].strength_frames

    assert (frames(date(2027, 4, 11)), frames(APRIL)) == (Decimal("6.4"), Decimal("6.8"))
    assert (row.stated_by, Factor.objects.filter(view="below", warmer_than_c=15).count()) == (actor, 2)


def test_the_footing_is_fixed(actor):
    with pytest.raises(services.FootingIsFixed) as refusal:
        state(actor, warmer_than_c="-30.0", factor="0.95")
    assert str(refusal.value) == "Cool counts from below are the footing itself: their factor stays 1."


def test_one_factor_a_band_and_day(actor):
    state(actor)

    with pytest.raises(services.FactorAlreadyDated) as refusal:
        state(actor, factor="0.86")
    assert str(refusal.value) == (
        "A factor from Mon 12 Apr 2027 is already there and never changes. Take it from another day."
    )


@pytest.mark.parametrize(("band", "factor", "other"), [("15.0", "0.95", "10.0 °C it is 0.9"), ("10.0", "0.7", "15.0")])
def test_warmth_never_adds_bees(actor, band, factor, other):
    with pytest.raises(services.FactorOutOfOrder) as refusal:
        state(actor, warmer_than_c=band, factor=factor)
    assert str(refusal.value).startswith("A warmer count cannot be multiplied by more than a cooler one: from")
    assert other in str(refusal.value)
