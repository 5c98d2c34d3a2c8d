from dataclasses import dataclass
from datetime import date

from django.db.models import Q, QuerySet

from apiary_ops.allocation import queries as allocation_queries
from apiary_ops.allocation.models import Binding
from apiary_ops.nucs import queries as nuc_queries
from apiary_ops.nucs.models import Nuc
from apiary_ops.orders import queries as order_queries
from apiary_ops.orders.models import Line, Order
from apiary_ops.pickups.models import Booking, HandedNuc, HandOver

from .bookings import booking_in_full

MOST_FOUND = 30


@dataclass(frozen=True, slots=True)
class NucChoice:
    """A nuc that may leave on a line: ready, unheld, of an accepted kind, and bound to nobody else."""

    nuc: Nuc
    is_bound: bool
    is_suggested: bool
    is_for_another_line: bool  # suggested there


@dataclass(frozen=True, slots=True)
class LineChoice:
    """A line owed nucs, how many are meant to leave, and the nucs that may."""

    line: Line
    wanted: int
    choices: tuple[NucChoice, ...]

    @property
    def lacking(self) -> int:
        return self.wanted - sum(1 for choice in self.choices if choice.is_suggested)


def orders_to_collect(season_id: int, text: str = "") -> QuerySet[Order]:
    """Orders that nucs are still owed on; with `text`, those whose number, buyer or telephone holds it."""
    owed = allocation_queries.takers(season_id).values("order_id")
    rows = Order.objects.filter(pk__in=owed).select_related("buyer", "pickup_yard")
    words = text.strip()
    if words:
        rows = rows.filter(Q(number__contains=words) | order_queries.buyer_matches(words, prefix="buyer__"))
    return rows.order_by("buyer__search_key", "id")[:MOST_FOUND]


def order_at_gate(season_id: int) -> QuerySet[Order]:
    """Orders of a season by number, for get_object_or_404."""
    return Order.objects.filter(season_id=season_id).select_related("buyer", "season", "terms", "pickup_yard")


def open_booking(order: Order, on: date) -> Booking | None:
    """The booking an order comes with on a day."""
    rows = booking_in_full(order.season_id).filter(order=order, state=Booking.State.BOOKED)
    return rows.filter(window__day__on=on).first()


def is_owed(order: Order) -> bool:
    """Whether nucs are still owed on an order."""
    return allocation_queries.takers(order.season_id).filter(order=order).exists()


def line_choices(order: Order, *, on: date, booking: Booking | None, yard_id: int | None) -> list[LineChoice]:
    """For each line owed nucs, the nucs that may leave on a day: bound ones first, then the oldest ready.

    As many are suggested as the booking says, or all that are owed; no nuc twice, and none that stands at another
    yard where buyers collect than `yard_id`.
    """
    lines = list(allocation_queries.takers(order.season_id).filter(order=order))
    booked = {row.line_id: row.quantity for row in booking.lines.all()} if booking else {}
    ready = list(nuc_queries.ready_nucs(order.season_id, on=on))
    bound = {binding.nuc_id: binding for binding in _living(ready)}
    wanted = {line.pk: min(booked.get(line.pk, 0), line.outstanding) if booking else line.outstanding for line in lines}
    fitting = {line.pk: _fitting(line, ready, bound, yard_id) for line in lines}
    picked: dict[int, int] = {}  # nuc to line
    for line in lines:
        free = [nuc for nuc in fitting[line.pk] if nuc.pk in bound or not _is_elsewhere(nuc, yard_id)]
        own = [nuc.pk for nuc in free if nuc.pk not in picked]
        picked.update(dict.fromkeys(own[: wanted[line.pk]], line.pk))
    return [
        LineChoice(line, wanted[line.pk], tuple(_choice(nuc, line, bound, picked) for nuc in fitting[line.pk]))
        for line in lines
    ]


def _choice(nuc: Nuc, line: Line, bound: dict[int, Binding], picked: dict[int, int]) -> NucChoice:
    taken = picked.get(nuc.pk)
    return NucChoice(nuc, nuc.pk in bound, taken == line.pk, taken not in (None, line.pk))


def _living(ready: list[Nuc]) -> list[Binding]:
    """Bindings that hold a nuc for a line still owed."""
    rows = allocation_queries.live_bindings(nuc.pk for nuc in ready)
    return [row for row in rows if row.line.state in Line.OWED_STATES]


def _fitting(line: Line, ready: list[Nuc], bound: dict[int, Binding], yard_id: int | None) -> list[Nuc]:
    """Bound to the line first, then its own kind, what stands here, the oldest ready."""
    accepted = {line.kind_id, *(kind.pk for kind in line.substitutes.all())}
    own = [
        nuc
        for nuc in ready
        if (nuc.pk in bound and bound[nuc.pk].line_id == line.pk) or (nuc.pk not in bound and nuc.kind_id in accepted)
    ]
    return sorted(
        own,
        key=lambda nuc: (
            nuc.pk not in bound,
            nuc.kind_id != line.kind_id,
            _is_elsewhere(nuc, yard_id),
            nuc.yard_id != yard_id,
            nuc.ready_on,
            nuc.number,
        ),
    )


def _is_elsewhere(nuc: Nuc, yard_id: int | None) -> bool:
    """At another pickup yard; what stands where nobody collects is brought to any of them."""
    return yard_id is not None and nuc.yard_id != yard_id and nuc.yard.is_pickup_yard


def hand_over_in_full(season_id: int) -> QuerySet[HandOver]:
    """The hand-overs of a season with invoice, buyer and nucs, for get_object_or_404."""
    rows = HandOver.objects.filter(season_id=season_id)
    return rows.select_related("order__buyer", "invoice", "given_by").prefetch_related("nucs__nuc__kind")


def hand_overs_of(order: Order) -> QuerySet[HandOver]:
    """What an order collected, latest first."""
    return HandOver.objects.filter(order=order).select_related("invoice").order_by("-at", "-id")


def handed(nuc: Nuc) -> HandedNuc | None:
    """The hand-over a nuc left with."""
    return HandedNuc.objects.filter(nuc=nuc).select_related("hand_over__order__buyer").first()
