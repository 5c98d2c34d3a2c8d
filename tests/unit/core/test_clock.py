from datetime import UTC, date, datetime

import time_machine
from django.utils import timezone

from apiary_ops.core import clock


@time_machine.travel(datetime(2026, 11, 24, 2, 30, tzinfo=UTC), tick=False)
def test_the_day_is_that_of_the_place_not_of_greenwich():
    with timezone.override("America/Halifax"):
        assert clock.today() == date(2026, 11, 23)


@time_machine.travel(datetime(2026, 11, 24, 14, 30, tzinfo=UTC), tick=False)
def test_a_pretended_day_keeps_the_time_of_day(settings):
    settings.PRETENDED_TODAY = date(2027, 6, 9)

    with timezone.override("America/Halifax"):
        assert clock.today() == date(2027, 6, 9)
        assert timezone.localtime(clock.now()).hour == 10
