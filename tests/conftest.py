"""What every test stands on: guards that survive a flush, a fast hasher, one business with one season."""

from datetime import date

import hypothesis
import pytest
from django.db import connection

from apiary_ops.core import guards

# The same examples every time, and none fails for being slow on a busy machine.
hypothesis.settings.register_profile("repeatable", deadline=None, derandomize=True)
hypothesis.settings.load_profile("repeatable")


@pytest.fixture(autouse=True)
def fast_hasher(settings):
    """Argon2 takes about 135 ms a check; tests of sign-in need not wait for it."""
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]


@pytest.fixture
def transactional_db(transactional_db):
    """Emptying the tables after such a test is what the guards exist to refuse: lift them first.

    Django's flush sends post_migrate, which restores them.
    """
    yield
    guards.lift(connection)


def pytest_collection_modifyitems(items):
    on_postgres = _vendor() == "postgresql"
    for item in items:
        if item.get_closest_marker("postgres") and not on_postgres:
            item.add_marker(pytest.mark.skip(reason="needs PostgreSQL (set DATABASE_URL)"))


def _vendor() -> str:
    from django.db import connections

    return connections["default"].vendor


@pytest.fixture
def today() -> date:
    """A Monday in spring, the day most tests play on."""
    return date(2027, 4, 12)


@pytest.fixture
def chart(db) -> int:
    """The accounts of the trade, as a new installation has them."""
    from apiary_ops.books.services import install_chart

    return install_chart()


@pytest.fixture(scope="module")
def season_in_small(django_db_setup, django_db_blocker):
    """The season of tests/factories/season.py, built once for a module and undone after it; use `tiny`."""
    from django.db import transaction

    from tests.factories.season import build_season

    with django_db_blocker.unblock(), transaction.atomic():
        yield build_season()
        transaction.set_rollback(True)


@pytest.fixture
def tiny(season_in_small):
    """A whole season in small, as it was built: what a test does with it is undone.

    A module that uses it leaves out the `django_db` mark, which would close the transaction the season stands in.
    """
    from django.db import transaction

    with transaction.atomic():
        yield season_in_small
        transaction.set_rollback(True)
