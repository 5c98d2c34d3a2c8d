from datetime import date

import pytest

from tests.factories.business import SeasonFactory
from tests.factories.capacity import stand_forecast
from tests.factories.nucs import NucKindFactory
from tests.factories.orders import RoundFactory
from tests.factories.people import UserFactory

# The last make-up weeks for the two rounds, four weeks before the last week of each.
BY_FIRST, BY_SECOND = date(2027, 5, 17), date(2027, 5, 31)


@pytest.fixture
def season():
    return SeasonFactory()


@pytest.fixture
def kind():
    return NucKindFactory(queen_laying_rate="0.8")


@pytest.fixture
def first(season):
    return RoundFactory(season=season)


@pytest.fixture
def second(season):
    return RoundFactory(season=season, name="second round", starts_on=date(2027, 6, 21), ends_before=date(2027, 7, 5))


@pytest.fixture
def forecast(season, kind):
    """A late spring gives 10 nucs by the first round and 20 by the second; 8 and 16 still lay at sale."""
    return stand_forecast(season, kind, {BY_FIRST: 10, BY_SECOND: 20})


@pytest.fixture
def clerk():
    return UserFactory(office=True)


@pytest.fixture
def owner():
    return UserFactory()
