"""The worker makes the forecast; asking twice while one waits queues nothing more."""

from datetime import UTC, date, datetime

import pytest
import time_machine
from django.core.management import call_command
from django.utils import timezone
from django_tasks_db.models import DBTaskResult

from apiary_ops.capacity import jobs, queries
from apiary_ops.capacity.models import Forecast

pytestmark = pytest.mark.django_db

TODAY = date(2027, 4, 12)


def ask(season, owner):
    return jobs.ask_for_forecast(season_id=season.pk, today=TODAY, actor=owner)


def test_a_forecast_is_queued_once_the_page_has_committed(season, owner, django_capture_on_commit_callbacks):
    with django_capture_on_commit_callbacks(execute=True):
        asked = ask(season, owner)
        waits_before_commit = queries.is_waiting(season.pk)

    assert (asked, waits_before_commit) == (True, False)
    assert queries.is_waiting(season.pk) is True
    assert queries.is_recomputing(season.pk) is True
    assert ask(season, owner) is False


def test_another_seasons_forecast_does_not_wait_here(season, owner, django_capture_on_commit_callbacks):
    with django_capture_on_commit_callbacks(execute=True):
        ask(season, owner)

    assert queries.is_recomputing(season.pk + 1) is False


@pytest.mark.usefixtures("transactional_db")
def test_the_worker_carries_it_out(season, owner, kind, seen):
    seen(13)
    ask(season, owner)

    call_command("db_worker", batch=True, interval=0, startup_delay=False, reload=False, verbosity=0)

    assert DBTaskResult.objects.get().status == "SUCCESSFUL"
    forecast = Forecast.objects.get()
    assert (forecast.today, forecast.requested_by, forecast.colonies_counted) == (TODAY, owner, 1)
    assert queries.is_recomputing(season.pk) is False


@pytest.mark.usefixtures("kind")
@time_machine.travel(datetime(2026, 11, 25, 1, 30, tzinfo=UTC), tick=False)
def test_the_worker_dates_a_forecast_by_the_hour_of_the_place(season, owner, settings):
    settings.PRETENDED_TODAY = TODAY

    jobs.recompute_forecast.call(season_id=season.pk, today=TODAY.isoformat(), actor_id=owner.pk)

    with timezone.override("America/Halifax"):
        assert timezone.localtime(Forecast.objects.get().made_at).date() == TODAY
