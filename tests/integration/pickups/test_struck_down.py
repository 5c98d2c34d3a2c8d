"""Power lost in the middle of a hand-over leaves nothing, and the same form can then be sent again."""

import os
import sqlite3
import subprocess
import sys
from pathlib import Path

import pytest
from django.db import connection

from tests.factories.people import UserFactory
from tests.factories.pickups import ready_order

pytestmark = pytest.mark.usefixtures("transactional_db")

ROOT = Path(__file__).resolve().parents[3]
NOTHING = "HandOver 0, Binding 0, Invoice 0, Receipt 0, Entry 0, laying, laying, promised"


@pytest.fixture
def order(transactional_db):
    UserFactory()
    return ready_order(2)[0]


@pytest.fixture
def database_url(order, tmp_path):
    """Where another process finds this database. SQLite's may live in memory, so it gets a copy in a file."""
    if connection.vendor == "sqlite":
        copy = tmp_path / "gate.sqlite3"
        connection.ensure_connection()
        with sqlite3.connect(copy) as target:
            connection.connection.backup(target)
        target.close()
        return f"sqlite:///{copy}"
    place = connection.settings_dict
    return f"postgres://{place['USER']}:{place['PASSWORD']}@{place['HOST']}:{place['PORT'] or 5432}/{place['NAME']}"


@pytest.fixture
def gate(database_url, order):
    env = os.environ | {"DATABASE_URL": database_url, "DJANGO_SETTINGS_MODULE": "apiary_ops.settings"}

    def gate(when: str) -> subprocess.CompletedProcess:
        command = [sys.executable, "-m", "tests.integration.pickups.struck_down", when, order.number]
        return subprocess.run(command, cwd=ROOT, env=env, text=True, capture_output=True, timeout=60)

    return gate


@pytest.mark.parametrize("when", ["paying", "settling"])
def test_a_hand_over_struck_down_half_way_leaves_nothing_and_can_be_sent_again(gate, when):
    struck = gate(when)

    assert (struck.returncode, struck.stdout) == (-9, "")
    assert gate("look").stdout.strip() == NOTHING

    done = gate("hand-over").stdout.split("\n")

    assert done[0] == "2027-00001"
    assert done[1].endswith("handed over, handed over, collected")
