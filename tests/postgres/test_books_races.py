"""Two clerks at the books at once, and one struck down at work: on PostgreSQL, and on SQLite with a file.

The clerks are processes (tests/postgres/clerk.py). A holder works and keeps its transaction open; the waiter starts,
is seen to wait, and only then may the holder commit.
"""

import os
import signal
import subprocess
import sys
from pathlib import Path
from queue import Empty, Queue
from threading import Thread

import pytest
from django.db import connection

from apiary_ops.books.services import install_chart
from tests.factories.books import PeriodFactory
from tests.factories.business import BusinessFactory, SeasonFactory
from tests.factories.people import UserFactory

pytestmark = pytest.mark.usefixtures("transactional_db")

ROOT = Path(__file__).resolve().parents[2]
PATIENCE = 30.0  # seconds a clerk may take
A_MOMENT = 0.7  # seconds in which a clerk that need not wait would long have answered


class Clerk:
    """A process that works at the books, and what it answered so far."""

    def __init__(self, database_url: str) -> None:
        env = os.environ | {"DATABASE_URL": database_url, "DJANGO_SETTINGS_MODULE": "apiary_ops.settings"}
        command = [sys.executable, "-m", "tests.postgres.clerk"]
        self.process = subprocess.Popen(
            command, cwd=ROOT, env=env, text=True, stdin=subprocess.PIPE, stdout=subprocess.PIPE
        )
        self.answers: Queue[str] = Queue()
        Thread(target=self._listen, daemon=True).start()
        assert self.hear() == "ready"

    def _listen(self) -> None:
        for line in self.process.stdout:
            self.answers.put(line.strip())

    def tell(self, *acts: str) -> None:
        self.process.stdin.write("".join(f"{act}\n" for act in acts))
        self.process.stdin.flush()

    def hear(self) -> str:
        return self.answers.get(timeout=PATIENCE)

    def ask(self, act: str) -> str:
        self.tell(act)
        return self.hear()

    def is_waiting(self) -> bool:
        """Nothing heard for a moment: held up by someone's lock."""
        try:
            self.answers.put(self.answers.get(timeout=A_MOMENT))
        except Empty:
            return True
        return False

    def end(self) -> None:
        self.process.stdin.close()
        self.process.stdout.close()
        self.process.wait(PATIENCE)


@pytest.fixture
def books(transactional_db):
    """Books with one period and a user, committed."""
    BusinessFactory()
    install_chart()
    PeriodFactory()
    SeasonFactory()
    UserFactory()


@pytest.fixture
def database_url(books, tmp_path):
    """Where clerks find these books. SQLite's test database may live in memory, so they get a copy in a file."""
    if connection.vendor == "sqlite":
        import sqlite3

        copy = tmp_path / "books.sqlite3"
        connection.ensure_connection()
        with sqlite3.connect(copy) as target:
            connection.connection.backup(target)
        target.close()
        return f"sqlite:///{copy}"
    place = connection.settings_dict
    return f"postgres://{place['USER']}:{place['PASSWORD']}@{place['HOST']}:{place['PORT'] or 5432}/{place['NAME']}"


@pytest.fixture
def hire(database_url):
    clerks = []

    def hire() -> Clerk:
        clerks.append(Clerk(database_url))
        return clerks[-1]

    yield hire
    for clerk in clerks:
        clerk.end()


@pytest.fixture
def look(hire):
    """What a clerk who comes afterwards finds: the next number of a series, or whether an entry can be posted."""

    def look(act: str) -> str:
        clerk = hire()
        assert clerk.ask("begin") == "begun"
        return clerk.ask(act)

    return look


@pytest.mark.parametrize("given_before", [0, 1])
def test_two_clerks_issuing_from_one_series_get_consecutive_numbers(hire, given_before):
    holder, waiter = hire(), hire()
    for number in range(1, given_before + 1):
        holder.tell("begin", "number invoice", "commit")
        assert [holder.hear() for _ in range(3)] == ["begun", f"number 2027-{number}", "committed"]
    assert holder.ask("begin") == "begun"
    assert holder.ask("number invoice") == f"number 2027-{given_before + 1}"

    waiter.tell("begin", "number invoice")
    if connection.vendor == "postgresql":
        assert waiter.hear() == "begun"
    assert waiter.is_waiting()
    assert holder.ask("commit") == "committed"

    # On SQLite the whole transaction waits its turn, on PostgreSQL the act.
    answers = [waiter.hear() for _ in range(2 if connection.vendor == "sqlite" else 1)]
    assert answers[-1] == f"number 2027-{given_before + 2}"
    assert waiter.ask("commit") == "committed"


def test_a_number_taken_by_a_clerk_who_gives_up_is_not_lost(hire, look):
    holder = hire()
    holder.ask("begin")
    assert holder.ask("number invoice") == "number 2027-1"

    holder.process.kill()
    holder.process.wait(PATIENCE)

    assert look("number invoice") == "number 2027-1"


def test_locking_a_period_waits_for_a_posting_under_way(hire, look):
    poster, locker = hire(), hire()
    poster.ask("begin")
    assert poster.ask("post 1") == "posted"

    locker.tell("begin", "lock")
    if connection.vendor == "postgresql":
        assert locker.hear() == "begun"
    assert locker.is_waiting()
    assert poster.ask("commit") == "committed"

    answers = [locker.hear() for _ in range(2 if connection.vendor == "sqlite" else 1)]
    assert answers[-1] == "locked"
    assert locker.ask("commit") == "committed"
    assert "lies in a locked period" in look("post 2")


def test_a_posting_waits_for_a_lock_under_way_and_is_refused(hire):
    locker, poster = hire(), hire()
    locker.ask("begin")
    assert locker.ask("lock") == "locked"

    poster.tell("begin", "post 1")
    if connection.vendor == "postgresql":
        assert poster.hear() == "begun"
    assert poster.is_waiting()
    assert locker.ask("commit") == "committed"

    answers = [poster.hear() for _ in range(2 if connection.vendor == "sqlite" else 1)]
    assert answers[-1] == "refused: Sat 9 Jan 2027 lies in a locked period. Choose a day in an open one."


@pytest.mark.postgres
def test_two_postings_into_one_period_do_not_wait_for_each_other(hire):
    first, second = hire(), hire()
    first.ask("begin")
    assert first.ask("post 1") == "posted"

    second.ask("begin")
    assert second.ask("post 2") == "posted"

    assert second.ask("commit") == "committed"
    assert first.ask("commit") == "committed"


def test_one_source_posted_by_two_clerks_at_once_is_posted_once(hire):
    first, second = hire(), hire()
    first.ask("begin")
    assert first.ask("post 1") == "posted"

    second.tell("begin", "post 1")
    if connection.vendor == "postgresql":
        assert second.hear() == "begun"
    assert second.is_waiting()
    assert first.ask("commit") == "committed"

    answers = [second.hear() for _ in range(2 if connection.vendor == "sqlite" else 1)]
    assert answers[-1] == "refused: clerk:1 has already posted its entry; nothing was posted twice."


def test_a_clerk_killed_between_postings_leaves_nothing(hire, look):
    clerk = hire()
    clerk.ask("begin")
    assert clerk.ask("post 1") == "posted"
    assert clerk.ask("post 2") == "posted"

    os.kill(clerk.process.pid, signal.SIGKILL)
    assert clerk.process.wait(PATIENCE) == -signal.SIGKILL

    assert look("count") == "0 entries, 0 lines, 0 seals"
