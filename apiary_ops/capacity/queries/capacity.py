"""What a stored forecast says: nucs by kind, week and yard, in three springs."""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from django.db.models import Max, Sum

from apiary_ops.capacity import compute
from apiary_ops.capacity.models import ForecastRow
from apiary_ops.nucs import queries as nucs
from apiary_ops.nucs.models import NucKind
from apiary_ops.orders.models import Line, Round
from apiary_ops.yards.models import Yard

from .forecast import LatestForecast, latest_forecast


@dataclass(frozen=True, slots=True)
class CapacityWeek:
    """Nucs of a kind that could be made by the end of a week, were only that kind made; a late spring is low."""

    kind_id: int
    week: date
    low: int
    middle: int
    high: int
    low_alone: int
    middle_alone: int
    high_alone: int


@dataclass(frozen=True, slots=True)
class YardCapacity:
    """The same for one yard by the last week."""

    yard: Yard
    low: int
    middle: int
    high: int
    middle_alone: int


@dataclass(frozen=True, slots=True)
class KindCapacity:
    """A kind with the weeks that serve a round; the last week's figures are the season's."""

    kind: NucKind
    weeks: tuple[CapacityWeek, ...]

    @property
    def low(self) -> int:
        return self.weeks[-1].low if self.weeks else 0

    @property
    def middle(self) -> int:
        return self.weeks[-1].middle if self.weeks else 0

    @property
    def high(self) -> int:
        return self.weeks[-1].high if self.weeks else 0

    def could_sell(self, made: int) -> int:
        """Of nucs made, those whose queen still lays at sale."""
        return int(made * self.kind.queen_laying_rate)


def season_capacity(season_id: int) -> list[CapacityWeek]:
    """Every kind and week of the latest forecast, cumulative; empty before the first."""
    forecast = latest_forecast(season_id)
    return capacity_weeks(forecast.pk) if forecast else []


def capacity_weeks(forecast_id: int) -> list[CapacityWeek]:
    """Every kind and week of a forecast."""
    sums = _sums(ForecastRow.objects.filter(forecast_id=forecast_id), "kind_id", "week")
    return [CapacityWeek(kind_id, week, **figures) for (kind_id, week), figures in sorted(sums.items())]


def kind_capacity(forecast: LatestForecast | None) -> list[KindCapacity]:
    """Each kind by name with its weeks, from the first in which anything could be made to the last that serves a round.

    While a season has no rounds every week of the forecast is shown.
    """
    if forecast is None:
        return []
    sold_before = Round.objects.filter(season_id=forecast.season_id).aggregate(last=Max("ends_before"))["last"]
    rows = capacity_weeks(forecast.pk)
    found = []
    for kind in nucs.kinds():
        until = sold_before and sold_before - timedelta(weeks=1 + kind.weeks_to_sale)
        weeks = [row for row in rows if row.kind_id == kind.pk and (until is None or row.week <= until)]
        first = next((place for place, row in enumerate(weeks) if row.high), len(weeks))
        found.append(KindCapacity(kind, tuple(weeks[first:])))
    return found


def yard_capacity(forecast: LatestForecast, capacity: KindCapacity) -> list[YardCapacity]:
    """Each yard with colonies that count, by code: what it could give of a kind by the last of its weeks."""
    rows = ForecastRow.objects.filter(forecast_id=forecast.pk, kind=capacity.kind)
    sums = _sums(rows.filter(week__in=[row.week for row in capacity.weeks[-1:]]), "yard_id")
    yards = Yard.objects.filter(pk__in=[key for (key,) in sums]).order_by("code")
    names = ("low", "middle", "high", "middle_alone")
    return [YardCapacity(yard, **{name: sums[yard.pk,][name] for name in names}) for yard in yards]


def could_make_late(forecast_id: int) -> dict[tuple[int, date], int]:
    """Nucs by kind and week that a late spring lets the yards make by the end of that week, pooled in each yard."""
    rows = ForecastRow.objects.filter(forecast_id=forecast_id, spring="low")
    sums = rows.values_list("kind_id", "week").annotate(nucs=Sum("pooled")).order_by()
    return {(kind_id, week): made for kind_id, week, made in sums}


def picture_weeks(season_id: int, capacity: KindCapacity, others: Iterable[KindCapacity]) -> list[compute.SaleWeek]:
    """What could be sold of a kind by each sale week, and what is promised by then, all kinds counted as this one.

    A promise of another kind counts as the nucs of this kind that the same bees and brood would have made in a middle
    spring. Promises of a round stand in its last week.
    """
    lag = timedelta(weeks=capacity.kind.weeks_to_sale)
    promised = _promised_as(season_id, capacity, others)
    return [
        compute.SaleWeek(
            week=row.week + lag,
            low=capacity.could_sell(row.low),
            middle=capacity.could_sell(row.middle),
            high=capacity.could_sell(row.high),
            promised=round(sum(nucs for week, nucs in promised if week <= row.week + lag)),
        )
        for row in capacity.weeks
    ]


def _promised_as(season_id: int, capacity: KindCapacity, others: Iterable[KindCapacity]) -> list[tuple[date, float]]:
    """Promised nucs by the last week of their round, counted as nucs of one kind."""
    worth: Mapping[int, float] = {
        other.kind.pk: capacity.could_sell(capacity.middle) / sold
        for other in others
        if (sold := other.could_sell(other.middle))
    }
    lines = Line.objects.filter(round__season_id=season_id, state__in=Line.PROMISED_STATES)
    sums = lines.values_list("round__ends_before", "kind_id").annotate(nucs=Sum("quantity")).order_by()
    return [
        (ends_before - timedelta(weeks=1), quantity * (1 if kind_id == capacity.kind.pk else worth.get(kind_id, 1)))
        for ends_before, kind_id, quantity in sums
    ]


def _sums(rows: Any, *by: str) -> dict[tuple[Any, ...], dict[str, int]]:
    """Pooled and alone figures of each spring, added up by some columns."""
    sums: dict[tuple[Any, ...], dict[str, int]] = defaultdict(
        lambda: {f"{spring}{how}": 0 for spring in ("low", "middle", "high") for how in ("", "_alone")}
    )
    grouped = rows.values_list(*by, "spring").annotate(pooled_sum=Sum("pooled"), alone_sum=Sum("alone")).order_by()
    for *key, spring, pooled, alone in grouped:
        sums[tuple(key)] |= {spring: pooled, f"{spring}_alone": alone}
    return sums
