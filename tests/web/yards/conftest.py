from datetime import date

import pytest

from apiary_ops.yards import services
from tests.factories.business import BusinessFactory, SeasonFactory
from tests.factories.people import UserFactory
from tests.factories.yards import YardFactory


@pytest.fixture
def season(db, settings, today):
    """A spring day at a desk with the starting rules."""
    settings.PRETENDED_TODAY = today
    BusinessFactory()
    services.install_reference_rules()
    return SeasonFactory(year=2027)


@pytest.fixture
def crew(client, season):
    user = UserFactory(full_name="Tove Brook", crew=True)
    client.force_login(user)
    return user


@pytest.fixture
def office(client, season):
    user = UserFactory(full_name="Ib Desk", office=True)
    client.force_login(user)
    return user


@pytest.fixture
def owner(client, season):
    user = UserFactory(full_name="Mara Owner")
    client.force_login(user)
    return user


@pytest.fixture
def yard(season):
    return YardFactory(code="mill-lane", name="Mill Lane", round_trip_km=64)


@pytest.fixture
def third_of_april():
    return date(2027, 4, 3)
