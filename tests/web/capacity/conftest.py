from datetime import date

import pytest

from tests.factories.business import BusinessFactory, SeasonFactory
from tests.factories.nucs import NucKindFactory
from tests.factories.people import UserFactory


@pytest.fixture
def season(settings):
    """A business at its desk on a Monday in April."""
    settings.PRETENDED_TODAY = date(2027, 4, 12)
    BusinessFactory()
    return SeasonFactory()


@pytest.fixture
def kind():
    return NucKindFactory()


@pytest.fixture
def sign_in(client):
    """`sign_in(crew=True)`: someone of that role at the desk; the owner without one."""

    def sign_in(**role):
        user = UserFactory(**role)
        client.force_login(user)
        return user

    return sign_in
