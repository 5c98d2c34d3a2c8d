"""What binds each week: the least of bees, brood, comb, food, boxes, queens, people and pickup places."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from apiary_ops.capacity import compute
from apiary_ops.capacity.models import ForecastRow, WeekLimit
from apiary_ops.kernel.weeks import Week
from apiary_ops.nucs.models import Nuc, NucKind
from apiary_ops.queens import queries as queens

from .capacity import KindCapacity, kind_capacity
from .forecast import LatestForecast, latest_forecast, nucs_made
from .stated import week_limits


@dataclass(frozen=True, slots=True)
class ResourceLimit:
    """Nucs that one resource allows by the end of a week."""

    resource: str
    nucs: int


@dataclass(frozen=True, slots=True)
class BindingWeek:
    """What binds a kind in a week of a middle spring: `nucs` can be made by its end, `adds` more if there were more
    of `resource` before `next_resource` binds; None when nothing else is known to limit."""

    kind_id: int
    week: date
    resource: str
    nucs: int
    adds: int | None
    next_resource: str
    limits: tuple[ResourceLimit, ...]


def binding(season_id: int, week: date, *, kind_id: int | None = None) -> BindingWeek | None:
    """What binds in a week, for a kind or the first by name. None when the forecast does not reach that week."""
    forecast = latest_forecast(season_id)
    for capacity in kind_capacity(forecast):
        if forecast and kind_id in (None, capacity.kind.pk):
            found = {row.week: row for row in binding_weeks(forecast, capacity)}
            return found.get(week)
    return None


def binding_weeks(forecast: LatestForecast, capacity: KindCapacity) -> list[BindingWeek]:
    """What binds a kind in each of its weeks, were only that kind made from now on."""
    kind = capacity.kind
    stated = [_stock(row) for row in week_limits(forecast.season_id)]
    spent = _spent(forecast.season_id)
    in_hand, due = _queens(forecast.season_id)
    needs = compute.Needs(kind.make_up_combs, kind.make_up_food, kind.weeks_to_sale)
    yards = _yard_limits(forecast, kind)
    found = []
    for row in capacity.weeks:
        limits = compute.limits_by(
            row.week,
            this_week=Week.of(forecast.today).monday,
            colonies=compute.colonies_by(yards, row.week, row.middle),
            queens=None if in_hand is None else in_hand + sum(nucs for week, nucs in due if week <= row.week),
            stated=stated,
            needs=needs,
            spent=spent,
            nucs_per_person_day=forecast.assumptions["nucs_per_person_day"],
        )
        found.append(_binding_week(kind.pk, row.week, limits))
    return found


def _binding_week(kind_id: int, week: date, limits: dict[str, int]) -> BindingWeek:
    binds = compute.binding(limits)
    ranked = sorted(limits.items(), key=lambda item: item[1])
    return BindingWeek(
        kind_id=kind_id,
        week=week,
        resource=binds.resource,
        nucs=binds.nucs,
        adds=binds.adds,
        next_resource=ranked[1][0] if len(ranked) > 1 else "",
        limits=tuple(ResourceLimit(name, nucs) for name, nucs in ranked),
    )


def _yard_limits(forecast: LatestForecast, kind: NucKind) -> list[compute.YardLimit]:
    """Nucs of a middle spring by bees and by brood, for each yard and week; both figures were stored rounded down."""
    rows = ForecastRow.objects.filter(forecast_id=forecast.pk, kind=kind, spring="middle")
    return [
        compute.YardLimit(yard, week, int(bees // kind.make_up_bees), int(brood // kind.make_up_brood))
        for yard, week, bees, brood in rows.values_list("yard_id", "week", "surplus_bees", "surplus_brood")
    ]


def _queens(season_id: int) -> tuple[int | None, Sequence[tuple[date, int]]]:
    """Queens in hand, and those due by ship week; None when this season ordered none."""
    orders = [order for order in queens.queen_orders(season_id) if order.cancelled_on is None]
    if not orders:
        return None, []
    return queens.banked_total(season_id), [(row.ship_week, row.queens - row.received_queens) for row in orders]


def _spent(season_id: int) -> compute.Spent:
    """What the nucs made this season took: a box each, comb and food by the recipe of their kind."""
    made = nucs_made(season_id)
    kinds = NucKind.objects.in_bulk(made)
    return compute.Spent(
        boxes=sum(made.values()),
        drawn_combs=sum((kinds[key].make_up_combs * count for key, count in made.items()), Decimal(0)),
        food_frames=sum((kinds[key].make_up_food * count for key, count in made.items()), Decimal(0)),
        standing=Nuc.objects.filter(season_id=season_id, state__in=Nuc.LIVE_STATES).count(),
    )


def _stock(row: WeekLimit) -> compute.WeekStock:
    return compute.WeekStock(row.week, row.boxes, row.drawn_combs, row.food_frames, row.person_days, row.pickup_places)
