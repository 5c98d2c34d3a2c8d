from datetime import date

import pytest

from tests.factories.business import BusinessFactory, SeasonFactory
from tests.factories.capacity import stand_forecast
from tests.factories.nucs import NucKindFactory
from tests.factories.orders import BuyerFactory, LineFactory, OrderFactory, RoundFactory


@pytest.fixture
def season(settings):
    """A business at its desk on a Monday in April."""
    settings.PRETENDED_TODAY = date(2027, 4, 12)
    BusinessFactory()
    return SeasonFactory()


@pytest.fixture
def kind():
    return NucKindFactory(queen_laying_rate="0.8")


@pytest.fixture
def round_(season):
    return RoundFactory(season=season)


@pytest.fixture
def forecast(season, kind):
    """A late spring gives ten nucs in time for the round; eight still lay at sale."""
    return stand_forecast(season, kind, {date(2027, 5, 17): 10}, last_looked_on=date(2027, 4, 9))


@pytest.fixture
def ask(season, round_, kind):
    """`ask(3)`: a line of three nucs, of a buyer of its own."""

    def ask(quantity, buyer="Ada Fell", **line):
        order = OrderFactory(season=season, buyer=BuyerFactory(name=buyer))
        return LineFactory(order=order, round=round_, kind=kind, quantity=quantity, **line)

    return ask
