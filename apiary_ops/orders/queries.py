from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from django.db.models import F, Q, QuerySet, Sum
from django.db.models.functions import Coalesce

from apiary_ops.nucs.models import NucKind
from apiary_ops.yards.models import Yard

from . import compute
from .models import Buyer, Line, Order, Price, Round

GONE = (Line.State.CANCELLED, Line.State.LAPSED)
MOST_SUGGESTIONS = 12
MOST_COMPARED = 400
LEAST_LETTERS = 3


def orders(season_id: int) -> QuerySet[Order]:
    """The orders of a season, latest first, each with its buyer and what its lines add up to.

    Adds `nucs` and `total_cents` (before tax) of the lines that stand, and `nucs_<state>` for each state of a line.
    """
    standing = ~Q(lines__state__in=GONE)
    by_state = {
        f"nucs_{state.replace(' ', '_')}": Coalesce(Sum("lines__quantity", filter=Q(lines__state=state)), 0)
        for state in Line.State.values
    }
    return (
        Order.objects.filter(season_id=season_id)
        .select_related("buyer", "pickup_yard")
        .annotate(
            nucs=Coalesce(Sum("lines__quantity", filter=standing), 0),
            total_cents=Coalesce(Sum(F("lines__quantity") * F("lines__price_cents"), filter=standing), 0),
            **by_state,
        )
        .order_by("-placed_on", "-id")
    )


def state_of(order: Order) -> str:
    """One word for an order read by `orders()`."""
    counts = {state: getattr(order, f"nucs_{state.replace(' ', '_')}") for state in Line.State.values}
    return compute.order_state(counts)


def order_by_number(number: str) -> Order:
    """The order with its buyer, season, terms and lines. Raises Order.DoesNotExist."""
    rows = Order.objects.select_related("buyer", "season", "terms", "pickup_yard", "taken_by")
    return rows.get(number=number)


def lines_of(order: Order) -> QuerySet[Line]:
    """The lines of an order as they were asked, with kind, round, tax category and what may come instead."""
    rows = Line.objects.filter(order=order).select_related("kind", "round", "tax_category")
    return rows.prefetch_related("substitutes").order_by("id")


def cancel_reasons(order: Order) -> dict[int, str]:
    """Why the cancelled lines of an order were cancelled, with the day, by line."""
    history = Line.history.filter(order_id=order.pk, state=Line.State.CANCELLED, history_change_reason__isnull=False)
    return dict(history.order_by("history_id").values_list("id", "history_change_reason"))


def refund_until(order: Order) -> date:
    """The last day on which the order's terms give its deposit back in full."""
    terms, season = order.terms, order.season
    return compute.refund_until(
        month=terms.refund_until_month,
        day=terms.refund_until_day,
        starts_on=season.starts_on,
        ends_before=season.ends_before,
    )


def rounds(season_id: int) -> QuerySet[Round]:
    """The rounds of a season in the order of their weeks, each with the `nucs` that stand asked in it."""
    standing = Sum("lines__quantity", filter=~Q(lines__state__in=GONE))
    return Round.objects.filter(season_id=season_id).annotate(nucs=Coalesce(standing, 0)).order_by("starts_on", "id")


def prices(season_id: int) -> QuerySet[Price]:
    """Every price of a season, by kind and tier, the latest first."""
    rows = Price.objects.filter(season_id=season_id).select_related("kind", "tax_category")
    return rows.order_by("kind__name", "kind_id", "tier", "-valid_from")


def price_on(*, season_id: int, kind_id: int, tier: str, day: date) -> Price | None:
    """What a kind costs a buyer of `tier` on a day; None when no price has begun."""
    rows = {price.pk: price for price in Price.objects.filter(season_id=season_id, kind_id=kind_id)}
    dated = [compute.DatedPrice(price.pk, price.tier, price.valid_from, price.cents) for price in rows.values()]
    picked = compute.pick_price(dated, tier=tier, day=day)
    return rows[picked.key] if picked else None


@dataclass(frozen=True, slots=True)
class LinePrice:
    """What a line would cost: `cents` each, None when no price has begun."""

    kind: NucKind
    quantity: int
    cents: int | None


def price_lines(*, season_id: int, tier: str, day: date, asked: Iterable[tuple[NucKind, int]]) -> tuple[LinePrice, ...]:
    """The price of each (kind, quantity) for a buyer of `tier` on a day, nothing written."""
    priced = []
    for kind, quantity in asked:
        price = price_on(season_id=season_id, kind_id=kind.pk, tier=tier, day=day)
        priced.append(LinePrice(kind, quantity, price.cents if price else None))
    return tuple(priced)


def buyers(text: str = "") -> QuerySet[Buyer]:
    """Buyers by name; with `text`, those whose name, telephone or e-mail holds it."""
    rows = Buyer.objects.order_by("search_key", "id")
    return rows.filter(buyer_matches(text)) if text.strip() else rows


def buyer_matches(text: str, prefix: str = "") -> Q:
    """Buyers whose name holds every word of `text`, or whose telephone or e-mail holds it."""
    words = Q()
    for word in compute.search_key(text).split():
        words &= Q(**{f"{prefix}search_key__contains": word})
    found = words | Q(**{f"{prefix}email__icontains": text.strip()})
    digits = compute.phone_key(text).removeprefix("+")
    if len(digits) >= 4 and not any(letter.isalpha() for letter in text):
        tail = compute.phone_tail(digits) or digits
        found |= Q(**{f"{prefix}phone_key__contains": tail})
    return found


def likely_duplicates(*, name: str, phone: str, email: str = "", except_id: int | None = None) -> list[Buyer]:
    """Buyers who may be the same person or firm: same telephone or e-mail first, then names much alike."""
    others = Buyer.objects.order_by("search_key", "id")
    if except_id is not None:
        others = others.exclude(pk=except_id)
    key, phone_key, mail = compute.search_key(name), compute.phone_key(phone), email.strip()
    reached = Q()
    if tail := compute.phone_tail(phone_key):
        reached |= Q(phone_key__endswith=tail)
    if mail:
        reached |= Q(email__iexact=mail)
    named = Q()
    for word in key.split():
        if len(word) >= LEAST_LETTERS:
            named |= Q(search_key__contains=word[:LEAST_LETTERS])
    same = [
        row
        for row in (others.filter(reached)[:MOST_COMPARED] if reached else ())
        if (mail and row.email.casefold() == mail.casefold()) or compute.is_same_phone(phone_key, row.phone_key)
    ]
    alike = [
        row
        for row in (others.filter(named)[:MOST_COMPARED] if named else ())
        if row not in same and compute.is_alike(key, row.search_key)
    ]
    return (same + alike)[:MOST_SUGGESTIONS]


def buyer(pk: int) -> Buyer:
    """One buyer. Raises Buyer.DoesNotExist."""
    return Buyer.objects.get(pk=pk)


def orders_of_buyer(buyer: Buyer) -> QuerySet[Order]:
    """Everything a buyer ever ordered, latest first, with the `nucs` that stand."""
    nucs = Coalesce(Sum("lines__quantity", filter=~Q(lines__state__in=GONE)), 0)
    return Order.objects.filter(buyer=buyer).select_related("season").annotate(nucs=nucs).order_by("-placed_on", "-id")


def pickup_yards() -> QuerySet[Yard]:
    """Yards where buyers may collect."""
    return Yard.objects.filter(is_pickup_yard=True).order_by("name", "id")
