"""Many clerks at once on either engine: as many promises as there is room, and everyone else waits."""

from collections import Counter
from concurrent.futures import ThreadPoolExecutor
from datetime import date

import pytest
from django.db import connection

from apiary_ops.promise import services
from apiary_ops.promise.models import Release
from tests.factories.orders import LineFactory, OrderFactory

pytestmark = pytest.mark.usefixtures("transactional_db")


def test_six_clerks_share_the_last_four_nucs(season, first, kind, forecast, clerk):
    if connection.vendor == "sqlite" and connection.is_in_memory_db():
        pytest.skip("threads share a SQLite database only when it is a file (set APIARY_TEST_SQLITE)")
    full = LineFactory(order=OrderFactory(season=season), round=first, kind=kind, quantity=4, state="promised")
    lines = [LineFactory(order=OrderFactory(season=season), round=first, kind=kind, quantity=1) for _ in range(6)]

    def promise(line):
        try:
            return services.promise_line(line_id=line.pk, today=date(2027, 4, 12), actor=clerk).state
        finally:
            connection.close()

    with ThreadPoolExecutor(6) as pool:
        states = list(pool.map(promise, lines))

    assert Counter(states) == {"promised": 4, "waiting": 2}
    assert Release.objects.get(round=first, kind=kind).promised == full.quantity + 4
