from argparse import ArgumentParser
from datetime import date
from typing import Any

from django.core.management.base import BaseCommand, CommandError
from django.utils import timezone

from apiary_ops.business import queries as business
from apiary_ops.capacity import services as capacity
from apiary_ops.core import clock
from apiary_ops.promise import services


class Command(BaseCommand):
    help = "Make the forecast of a season anew and bring what may be promised up to it. Safe to run twice."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--season", type=int, help="the season by its spring, such as 2027 (default: the present)")
        parser.add_argument("--today", type=date.fromisoformat, help="look from another day, such as 2027-04-12")

    def handle(self, *args: Any, season: int | None, today: date | None, **options: Any) -> None:
        with timezone.override(business.business().time_zone):
            day = today or clock.today()
            chosen = business.current_season(season, day)
            if chosen is None or (season and chosen.year != season):
                raise CommandError(f"There is no season {season or ''}. Open one first.".replace("  ", " "))
            capacity.ask_for_cell_checks(season_id=chosen.pk, today=day)
            forecast = capacity.make_forecast(season_id=chosen.pk, today=day, made_at=clock.now())
            at_risk = services.refresh_releases(season_id=chosen.pk, today=day)
        self.stdout.write(
            f"Season {chosen}, looking from {day}: {forecast.colonies_counted} colonies counted, "
            f"{sum(forecast.colonies_left_out.values())} left out, {len(at_risk)} releases at risk."
        )
