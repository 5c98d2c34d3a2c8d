"""The command that makes the forecast and brings what may be promised up to it."""

from datetime import date
from decimal import Decimal

import pytest
from django.core.management import CommandError, call_command

from apiary_ops.capacity.models import Forecast
from apiary_ops.promise.models import Release
from tests.factories.business import BusinessFactory
from tests.factories.orders import LineFactory, OrderFactory
from tests.factories.yards import GradeRuleFactory, LookFactory, VisitFactory

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def business():
    return BusinessFactory()


def test_it_makes_both_at_once(season, first, kind, capsys):
    GradeRuleFactory(least_frames=Decimal("4"))
    LookFactory(visit=VisitFactory(season=season, on=date(2027, 4, 3)), below_halves=13)
    LineFactory(order=OrderFactory(season=season), round=first, kind=kind, quantity=40, state="promised")

    call_command("recompute", season=2027, today=date(2027, 4, 12))

    assert capsys.readouterr().out == (
        "Season 2027, looking from 2027-04-12: 1 colonies counted, 0 left out, 1 releases at risk.\n"
    )
    assert Forecast.objects.get().today == date(2027, 4, 12)
    assert Release.objects.get().short > 30


def test_a_season_that_is_not_there_is_refused(season):
    with pytest.raises(CommandError, match="There is no season 2031. Open one first."):
        call_command("recompute", season=2031, today=date(2027, 4, 12))
