"""Work for `manage.py db_worker`; each job is safe to run twice."""

from datetime import date

from django.db import transaction
from django.utils import timezone
from django_tasks import task

from apiary_ops.business.queries import business
from apiary_ops.core import clock
from apiary_ops.people.models import User

from . import queries, services


@task()
def recompute_forecast(*, season_id: int, today: str, actor_id: int | None = None) -> int:
    """Ask for the cell checks that fall due, then make a forecast looking from `today` (2027-04-12); returns its pk.

    In this order: a new task would make the forecast out of date at once.
    """
    actor = User.objects.filter(pk=actor_id).first() if actor_id else None
    # A worker has no request to tell it the business's time zone, which the clock needs on a pretended day.
    with timezone.override(business().time_zone):
        made_at = clock.now()
    day = date.fromisoformat(today)
    services.ask_for_cell_checks(season_id=season_id, today=day, actor=actor)
    forecast = services.make_forecast(season_id=season_id, today=day, actor=actor, made_at=made_at)
    return forecast.pk


def ask_for_forecast(*, season_id: int, today: date, actor: User) -> bool:
    """Queue a forecast once the present transaction stands; False when one waits already."""
    if queries.is_waiting(season_id):
        return False
    transaction.on_commit(
        lambda: recompute_forecast.enqueue(season_id=season_id, today=today.isoformat(), actor_id=actor.pk)
    )
    return True
