"""What a season's margin assumes about its costs: stated by a person, once at a time."""

from decimal import Decimal

import pytest
from django.core.exceptions import ValidationError

from apiary_ops.core.history import history_rows
from apiary_ops.core.versions import StaleRecord
from apiary_ops.costs import queries, services
from apiary_ops.costs.models import CostAssumptions
from tests.factories.business import SeasonFactory
from tests.factories.people import UserFactory

pytestmark = pytest.mark.django_db


def test_before_anything_is_stated_the_defaults_stand():
    season = SeasonFactory()

    standing = queries.cost_assumptions(season.pk)

    assert standing.bees_share_percent == Decimal("50.0")
    assert standing.pooled_driver == "visit minutes"
    assert (standing.own_hours, standing.own_hour_cents, standing.honey_given_up_cents) == (None, None, None)
    assert not CostAssumptions.objects.exists()


def test_a_share_is_stated_and_stated_anew_with_its_history():
    season, owner = SeasonFactory(), UserFactory(full_name="Mara Owner")
    first = services.state_cost_assumptions(
        season_id=season.pk, version=1, changes={"bees_share_percent": Decimal(60)}, actor=owner
    )

    services.state_cost_assumptions(
        season_id=season.pk, version=first.version, changes={"bees_share_percent": Decimal(45)}, actor=owner
    )

    standing = queries.cost_assumptions(season.pk)
    assert standing.bees_share_percent == Decimal("45.0")
    assert [(row.who, len(row.changes)) for row in history_rows(standing)] == [("Mara Owner", 1), ("Mara Owner", 0)]


@pytest.mark.parametrize("percent", [Decimal(-1), Decimal("100.5")])
def test_a_share_outside_nought_to_a_hundred_is_refused(percent):
    season = SeasonFactory()

    with pytest.raises(ValidationError):
        services.state_cost_assumptions(
            season_id=season.pk, version=1, changes={"bees_share_percent": percent}, actor=UserFactory()
        )


def test_two_people_who_state_the_first_one_do_not_overwrite_each_other():
    season, owner = SeasonFactory(), UserFactory()
    services.state_cost_assumptions(
        season_id=season.pk, version=1, changes={"bees_share_percent": Decimal(60)}, actor=owner
    )

    with pytest.raises(StaleRecord):
        services.state_cost_assumptions(
            season_id=season.pk, version=1, changes={"bees_share_percent": Decimal(20)}, actor=UserFactory()
        )

    assert queries.cost_assumptions(season.pk).bees_share_percent == Decimal("60.0")
