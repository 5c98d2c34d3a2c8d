"""Who sits at the desk in a test of a page; a folder that plays on another day has a `season` of its own.

Pages are tested and counted without the season line, which has tests and a budget of its own (tests/web/desk).
"""

import pytest

from apiary_ops.core import shell
from tests.factories.business import BusinessFactory, SeasonFactory
from tests.factories.people import UserFactory


@pytest.fixture(autouse=True)
def no_season_line(request, monkeypatch):
    if "season_line" not in request.fixturenames:
        monkeypatch.setattr(shell, "_season_line", [])


@pytest.fixture
def season_line():
    """Ask for it to test with the strip drawn."""


@pytest.fixture
def season(db):
    BusinessFactory()
    return SeasonFactory()


@pytest.fixture
def sign_in(client):
    """`sign_in(crew=True)`: someone of that role at the desk; the owner without one."""

    def sign_in(**role):
        user = UserFactory(**role)
        client.force_login(user)
        return user

    return sign_in


@pytest.fixture
def office(season, sign_in):
    return sign_in(office=True)


@pytest.fixture
def crew(season, sign_in):
    return sign_in(crew=True)
