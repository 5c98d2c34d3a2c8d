from collections.abc import Iterator
from datetime import date, datetime
from decimal import ROUND_FLOOR, Decimal
from typing import Any

from django.db import transaction

from apiary_ops.capacity import compute, queries
from apiary_ops.capacity.models import Assumptions, Forecast, ForecastRow
from apiary_ops.core import clock
from apiary_ops.nucs.models import NucKind
from apiary_ops.people.models import User

KEPT_FORECASTS = 10
ROWS_AT_ONCE = 1000


def make_forecast(
    *, season_id: int, today: date, actor: User | None = None, made_at: datetime | None = None
) -> Forecast:
    """Run every colony's build-up in three springs and keep what each yard could give by week and kind.

    Reads and computes outside any transaction and then stores in one, with the stamps of what it read; safe to run
    twice. The latest forecasts are kept, older ones deleted. With nothing to count it is stored empty, with reasons.
    `made_at` is the instant shown as "as of", this one by default.
    """
    inputs = queries.forecast_inputs(season_id, today)
    weeks = [(kind, row) for kind in inputs.kinds for row in _yard_weeks(inputs, kind)]
    return _store(season_id, today, actor, made_at or clock.now(), inputs, weeks)


def _yard_weeks(inputs: queries.Inputs, kind: NucKind) -> tuple[compute.YardWeek, ...]:
    assumed = inputs.assumptions
    return compute.three_springs(
        inputs.colonies,
        weeks=inputs.weeks,
        recipe=compute.Recipe(float(kind.make_up_bees), float(kind.make_up_brood)),
        keep=compute.Keep(float(assumed.keep_bees_frames), float(assumed.keep_brood_frames)),
        removed=inputs.removed,
        shifts={
            "low": assumed.low_shift_days,
            "middle": assumed.middle_shift_days,
            "high": assumed.high_shift_days,
        },
    )


@transaction.atomic
def _store(
    season_id: int,
    today: date,
    actor: User | None,
    made_at: datetime,
    inputs: queries.Inputs,
    weeks: list[tuple[NucKind, compute.YardWeek]],
) -> Forecast:
    forecast = Forecast.objects.create(
        season_id=season_id,
        made_at=made_at,
        today=today,
        stamps=inputs.stamps,
        assumptions=_as_json(inputs.assumptions),
        colonies_counted=len(inputs.colonies),
        colonies_left_out=inputs.left_out,
        unseen_tags=list(inputs.unseen_tags),
        counted_by=inputs.counted_by,
        last_looked_on=inputs.last_looked_on,
        nucs_made={str(kind): made for kind, made in inputs.nucs_made.items()},
        requested_by=actor,
    )
    ForecastRow.objects.bulk_create(_rows(forecast, weeks), batch_size=ROWS_AT_ONCE)
    kept = Forecast.objects.filter(season_id=season_id).order_by("-id").values_list("pk", flat=True)[:KEPT_FORECASTS]
    Forecast.objects.filter(season_id=season_id).exclude(pk__in=list(kept)).delete()
    return forecast


def _rows(forecast: Forecast, weeks: list[tuple[NucKind, compute.YardWeek]]) -> Iterator[ForecastRow]:
    for kind, row in weeks:
        yield ForecastRow(
            forecast=forecast,
            yard_id=int(row.yard),
            kind=kind,
            week=row.week,
            spring=row.spring,
            alone=row.alone_by,
            pooled=row.pooled_by,
            surplus_bees=_tenths(row.surplus_bees),
            surplus_brood=_tenths(row.surplus_brood),
        )


def _tenths(frames: float) -> Decimal:
    """Rounded down, so that recipes, which are in tenths, give the same whole nucs from it."""
    return Decimal(str(frames)).quantize(Decimal("0.1"), rounding=ROUND_FLOOR)


def _as_json(row: Assumptions) -> dict[str, Any]:
    """The values a forecast used, whole numbers as such."""
    values = {parameter.name: getattr(row, parameter.name) for parameter in compute.ASSUMED}
    return {name: value if isinstance(value, int) else float(value) for name, value in values.items()}
