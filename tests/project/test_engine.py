"""The database the tests believe they run on is the one they run on."""

import os

from django.db import connection


def test_the_engine_is_the_one_the_environment_names():
    wanted = "postgresql" if os.environ.get("DATABASE_URL", "").startswith("postgres") else "sqlite"

    assert connection.vendor == wanted
