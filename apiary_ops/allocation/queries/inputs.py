"""Lines, nucs and pins as the rows the rule works on."""

from dataclasses import dataclass
from datetime import date

from django.db.models import QuerySet

from apiary_ops.allocation.compute import Demand, Supply
from apiary_ops.allocation.compute import Pin as PinRow
from apiary_ops.allocation.compute.wishes import Told, priority, wish
from apiary_ops.allocation.models import Pin
from apiary_ops.business import stamps
from apiary_ops.business.models import Season
from apiary_ops.kernel.weeks import Week
from apiary_ops.nucs import queries as nuc_queries
from apiary_ops.nucs.models import NucKind
from apiary_ops.orders.models import Line
from apiary_ops.promise import queries as promise_queries
from apiary_ops.promise.models import Telling
from apiary_ops.yards.models import Yard

# What a plan is made from: a change in any of them makes it stale.
AREAS = ("yards", "nucs", "orders", "promise", "allocation")


@dataclass(frozen=True, slots=True)
class Inputs:
    """What a plan is made from. Kinds go by name; `kind_ids` leads back. Lines go by the text of their id."""

    stamps: dict[str, int]
    demands: list[Demand]
    supplies: list[Supply]
    pins: list[PinRow]
    kind_ids: dict[str, int]


def takers(season_id: int) -> QuerySet[Line]:
    """The lines that nucs are owed to: promised, and not yet all collected."""
    return (
        Line.objects.filter(order__season_id=season_id, state__in=Line.OWED_STATES)
        .select_related("order__buyer", "order__pickup_yard", "round", "kind")
        .prefetch_related("substitutes")
        .order_by("id")
    )


def plan_inputs(season_id: int, today: date) -> Inputs:
    """Everything a plan is made from. The stamps are read first, so a change that slips in between shows as stale."""
    counters = stamps.read(season_id, AREAS)
    season = Season.objects.get(pk=season_id)
    names = kind_names()
    lines = list(takers(season_id))
    told = promise_queries.latest_telling([line.pk for line in lines])
    demands = [demand(line, told.get(line.pk), names, season, today) for line in lines]
    asked = {line.pk for line in lines}
    pins = [
        PinRow(str(pin.line_id), pin.week, names[pin.kind_id])
        for pin in Pin.objects.filter(line__order__season_id=season_id).order_by("line_id")
        if pin.line_id in asked
    ]
    kind_ids = {name: pk for pk, name in names.items()}
    return Inputs(counters, demands, supplies(season_id, today, names), pins, kind_ids)


def kind_names() -> dict[int, str]:
    """A name for each kind, for sentences; two kinds of one name are told apart by their codes."""
    kinds = list(NucKind.objects.order_by("id").only("name", "code"))
    names = [kind.name for kind in kinds]
    return {kind.pk: kind.name if names.count(kind.name) == 1 else f"{kind.name} ({kind.code})" for kind in kinds}


def demand_of(line: Line, today: date) -> Demand:
    """What one line still wants, and when."""
    telling = promise_queries.latest_telling([line.pk]).get(line.pk)
    return demand(line, telling, kind_names(), line.order.season, today)


def demand(line: Line, telling: Telling | None, names: dict[int, str], season: Season, today: date) -> Demand:
    """What a line still wants, when, and whom it goes before."""
    order, told = line.order, None
    if telling is not None:
        told = Told(telling.firmness != Telling.Firmness.ROUND, telling.starts_on, telling.ends_before)
    when = wish(
        round_days=(line.round.starts_on, line.round.ends_before),
        told=told,
        today=today,
        season_ends_before=season.ends_before,
    )
    substitutes = sorted(kind.pk for kind in line.substitutes.all() if kind.pk != line.kind_id)
    return Demand(
        key=str(line.pk),
        kinds=tuple(names[pk] for pk in (line.kind_id, *substitutes)),
        quantity=line.outstanding,
        earliest_week=when.earliest_week,
        latest_week=when.latest_week,
        told_week=when.told_week,
        priority=priority(
            tier=order.buyer.tier,
            deposit_complete_at=order.deposit_complete_at,
            order_key=order.pk,
            line_key=line.pk,
        ),
        part_loads=line.part_loads,
        yard=str(order.pickup_yard_id or ""),
    )


def supplies(season_id: int, today: date, names: dict[int, str]) -> list[Supply]:
    """Nucs ready and coming, by week. What stands where nobody collects can be brought to any pickup yard."""
    pickup_yards = set(Yard.objects.filter(is_pickup_yard=True).values_list("pk", flat=True))
    return [
        Supply(
            key=row.key,
            kind=names[row.kind_id],
            yard=str(row.yard_id) if row.yard_id in pickup_yards else "",
            ready_week=Week.of(row.ready_on).monday,
            collect_by_week=Week.of(row.collect_by).monday,
            count=row.count,
        )
        for row in nuc_queries.supply_rows(season_id, today)
    ]
