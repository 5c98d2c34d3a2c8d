"""A race that is certain to be one: the first holds its locks until the second is seen to wait for them."""

from collections.abc import Callable
from concurrent.futures import Future, ThreadPoolExecutor
from threading import Event
from time import monotonic, sleep
from typing import Any

from django.db import connection, transaction

PATIENCE = 20.0  # seconds


def race(first: Callable[[], Any], second: Callable[[], Any], *, then: Callable[[], Any] | None = None) -> list[Any]:
    """Run `first` and keep its transaction open until `second` waits for it; then let both end.

    `then` runs in the first transaction while the second waits: what it needs must not be held by the second.
    Returns the outcome of each: what it returned, or what it raised.
    """
    first_done, go_on = Event(), Event()

    def holder():
        try:
            with transaction.atomic():
                outcome = first()
                first_done.set()
                assert go_on.wait(PATIENCE)
                if then is not None:
                    then()
            return outcome
        finally:
            first_done.set()
            connection.close()

    def waiter():
        try:
            return second()
        finally:
            connection.close()

    with ThreadPoolExecutor(2) as pool:
        holding = pool.submit(holder)
        assert first_done.wait(PATIENCE)
        waiting = pool.submit(waiter)
        try:
            wait_until_blocked(waiting)
        finally:
            go_on.set()
        return [future.exception(PATIENCE) or future.result() for future in (holding, waiting)]


def wait_until_blocked(future: Future[Any]) -> None:
    """Until some session of this database waits for another's lock; the race is lost when it ends instead."""
    until = monotonic() + PATIENCE
    while monotonic() < until:
        assert not future.done(), "The second clerk did not have to wait for the first."
        with connection.cursor() as cursor:
            cursor.execute(
                "SELECT COUNT(*) FROM pg_stat_activity WHERE datname = current_database() AND wait_event_type = 'Lock'"
            )
            if cursor.fetchone()[0]:
                return
        sleep(0.02)
    raise AssertionError("The second clerk never came to the lock.")
