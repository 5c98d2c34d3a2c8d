"""Reads of promises: the room in each round, who waits and in which order, what each buyer was told."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from typing import Any

from django.db.models import Count, F, Max, Q, QuerySet, Sum
from django.utils.translation import gettext as _

from apiary_ops.capacity import queries as capacity
from apiary_ops.nucs import queries as nucs
from apiary_ops.nucs.models import NucKind
from apiary_ops.orders.models import Buyer, Line, Round

from . import compute
from .models import Override, Release, Telling, Wait

TIER_ORDER = {tier: place for place, tier in enumerate(Buyer.Tier.values)}


@dataclass(frozen=True, slots=True)
class Room:
    """One kind in one round. `room` more may be promised; `safe` is what may stand promised in all.

    `promised` counts what is owed and what was collected; `paid` is the part of it whose deposit is complete.
    `short` nucs of this kind would have to give way for the round to be kept in a late spring. `limited_by` is the
    round whose count limits. `waiting` counts nucs, `waiting_orders` the lines that ask for them.
    """

    round: Round
    kind: NucKind
    safe: int
    released: int
    promised: int
    paid: int
    room: int
    short: int
    waiting: int
    waiting_orders: int
    limited_by: Round
    steps: tuple[compute.Step, ...]


@dataclass(frozen=True, slots=True)
class Waiting:
    """A line in the waitlist of its round and kind: its place, why it waits, and whether it would fit now."""

    line: Line
    place: int
    reason: str
    room: int

    @property
    def fits(self) -> bool:
        return self.line.quantity <= self.room


def room(season_id: int, today: date | None = None) -> list[Room]:
    """Every kind in every round, in time order. Without a forecast there is no room anywhere.

    `today` says which nucs stand ready; without it the day the forecast looked from.
    """
    rounds = {row.pk: row for row in Round.objects.filter(season_id=season_id)}
    kinds = {kind.pk: kind for kind in nucs.kinds()}
    lines = _line_sums(season_id)
    releases = {(row.round_id, row.kind_id): row for row in Release.objects.filter(round__season_id=season_id)}
    found = []
    for safe in compute.safe_numbers(_outlook(season_id, today, rounds.values(), kinds.values())):
        sums = lines[safe.round, safe.kind]
        release = releases.get((safe.round, safe.kind))
        found.append(
            Room(
                round=rounds[safe.round],
                kind=kinds[safe.kind],
                safe=max(0, sums["promised"] + safe.room - safe.short),
                released=release.released if release else 0,
                promised=sums["promised"],
                paid=sums["paid"],
                room=safe.room,
                short=safe.short,
                waiting=sums["waiting"],
                waiting_orders=sums["waiting_orders"],
                limited_by=rounds[safe.limited_by],
                steps=safe.steps,
            )
        )
    return found


def season_outlook(season_id: int, today: date | None = None) -> compute.Outlook:
    """What the safe numbers of every kind and round of a season rest on."""
    return _outlook(season_id, today, Round.objects.filter(season_id=season_id), nucs.kinds())


def _outlook(season_id: int, today: date | None, rounds: Iterable[Round], kinds: Iterable[NucKind]) -> compute.Outlook:
    """What the safe numbers of a season rest on, from the stored forecast.

    What is owed is read before what stands: a hand-over in between then makes the number too small, never too large.
    """
    forecast = capacity.latest_forecast(season_id)
    owed = {key: sums["owed"] for key, sums in _line_sums(season_id).items()}
    return compute.Outlook(
        rounds=tuple(compute.Span(row.pk, row.starts_on, row.ends_before) for row in rounds),
        kinds=tuple(compute.Kind(kind.pk, kind.weeks_to_sale, Fraction(kind.queen_laying_rate)) for kind in kinds),
        could_make=capacity.could_make_late(forecast.pk) if forecast else {},
        stock=_stock(season_id, today or forecast.today) if forecast else (),
        made_since=_made_since(forecast) if forecast else {},
        owed=owed,
        release_percent=capacity.assumptions(season_id).release_percent,
    )


def _stock(season_id: int, today: date) -> tuple[compute.Stock, ...]:
    rows = nucs.supply_rows(season_id, today)
    return tuple(compute.Stock(row.kind_id, row.ready_on, row.collect_by, row.count) for row in rows)


def _made_since(forecast: capacity.LatestForecast) -> dict[int, int]:
    """Nucs made after the forecast read the parents."""
    made = capacity.nucs_made(forecast.season_id)
    return {kind: count - forecast.nucs_made.get(kind, 0) for kind, count in made.items()}


def _line_sums(season_id: int) -> dict[tuple[int, int], dict[str, int]]:
    """Sums over the lines of a season by round and kind."""
    held, waits = Q(state__in=Line.PROMISED_STATES), Q(state=Line.State.WAITING)
    names = ("promised", "owed", "paid", "waiting", "waiting_orders")
    sums = (
        Line.objects.filter(round__season_id=season_id)
        .values("round_id", "kind_id")
        .annotate(
            promised=Sum("quantity", filter=held, default=0),
            owed=Sum(F("quantity") - F("collected"), filter=held, default=0),
            paid=Sum("quantity", filter=held & Q(order__deposit_complete_at__isnull=False), default=0),
            waiting=Sum("quantity", filter=waits, default=0),
            waiting_orders=Count("id", filter=waits),
        )
        .order_by()
        .values_list("round_id", "kind_id", *names)
    )
    by_key: dict[tuple[int, int], dict[str, int]] = defaultdict(lambda: dict.fromkeys(names, 0))
    by_key.update({(round_id, kind_id): dict(zip(names, row, strict=True)) for round_id, kind_id, *row in sums})
    return by_key


def first_step(season_id: int) -> str:
    """What must be done before anything can be promised safely; empty when a forecast counts colonies."""
    forecast = capacity.latest_forecast(season_id)
    if forecast is None:
        return _("No forecast is made yet. Press “Recompute” under Capacity first.")
    if not forecast.colonies:
        return _("No colonies are recorded. Enter the yards and their colonies, look at them, then recompute.")
    if not forecast.colonies_counted and forecast.unseen_tags:
        return _("No colony was looked at this year. Record looks in the yards, then recompute.")
    if not forecast.colonies_counted:
        return _("No colony counts for nucs. See under Capacity why each is left out.")
    return ""


def waitlist(season_id: int, today: date | None = None) -> list[Waiting]:
    """Lines that wait, in the order they are served, each with the room left by those ahead who fit."""
    rooms = {(row.round.pk, row.kind.pk): row.room for row in room(season_id, today)}
    ahead: dict[tuple[int, int], list[int]] = defaultdict(list)
    lines = waiting_lines(season_id)
    reasons = latest_wait([line.pk for line in lines])
    found = []
    for line in lines:
        key = (line.round_id, line.kind_id)
        left = compute.room_behind(rooms.get(key, 0), ahead[key])
        ahead[key].append(line.quantity)
        reason = reasons[line.pk].reason if line.pk in reasons else ""
        found.append(Waiting(line, len(ahead[key]), reason, left))
    return found


def waiting_lines(season_id: int) -> list[Line]:
    """Lines that wait, by round and then in the order they are served."""
    rows = Line.objects.filter(round__season_id=season_id, state=Line.State.WAITING)
    lines = rows.select_related("order__buyer", "kind", "round")
    return sorted(lines, key=lambda line: (line.round.starts_on, line.round_id, turn(line)))


def lines_in_turn(season_id: int) -> list[Line]:
    """Lines that ask or wait with a complete deposit, over all rounds, in the order they are served."""
    rows = Line.objects.filter(
        round__season_id=season_id,
        state__in=(Line.State.ASKED, Line.State.WAITING),
        order__deposit_complete_at__isnull=False,
    )
    return sorted(rows.select_related("order__buyer", "kind", "round"), key=turn)


def ahead_of(line: Line) -> list[int]:
    """Nucs asked by the lines that wait for the same round and kind and are served before this one."""
    waiting = Line.objects.filter(round_id=line.round_id, kind_id=line.kind_id, state=Line.State.WAITING)
    others = sorted(waiting.exclude(pk=line.pk).select_related("order__buyer"), key=turn)
    return [other.quantity for other in others if turn(other) < turn(line)]


def turn(line: Line) -> tuple[Any, ...]:
    """What orders a waitlist: the tier, then the instant that completed the deposit; without one, the day it came."""
    order = line.order
    paid_at = order.deposit_complete_at
    by_deposit = (0, paid_at.timestamp()) if paid_at else (1, order.placed_on.toordinal())
    return (TIER_ORDER.get(order.buyer.tier, len(TIER_ORDER)), by_deposit, line.pk)


def line_with_order(pk: int) -> QuerySet[Line]:
    """One line with its order, buyer, kind and round."""
    return Line.objects.filter(pk=pk).select_related("order__buyer", "order__season", "kind", "round")


def latest_telling(line_ids: Iterable[int]) -> dict[int, Telling]:
    """What each line's buyer was told last; lines told nothing are left out."""
    return {row.line_id: row for row in _latest(Telling, line_ids).select_related("told_by")}


def latest_wait(line_ids: Iterable[int]) -> dict[int, Wait]:
    """Why each line had to wait when it was last asked for."""
    return {row.line_id: row for row in _latest(Wait, line_ids)}


def overrides(line_ids: Iterable[int]) -> dict[int, Override]:
    """Promises the owner made beyond the safe number, by line."""
    return {row.line_id: row for row in _latest(Override, line_ids).select_related("made_by")}


def _latest(model: Any, line_ids: Iterable[int]) -> Any:
    newest = model.objects.filter(line_id__in=list(line_ids)).values("line_id").annotate(newest=Max("id"))
    return model.objects.filter(pk__in=newest.values("newest"))
