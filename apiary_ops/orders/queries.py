from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from django.db.models import Count, F, Prefetch, Q, QuerySet, Sum
from django.db.models.functions import Coalesce
from django.utils.translation import gettext_lazy as _

from apiary_ops.nucs import queries as nuc_queries
from apiary_ops.nucs.models import NucKind
from apiary_ops.yards.models import Yard

from . import compute
from .models import Buyer, Line, Order, Price, Round

# How an order stands with the deposit its terms ask.
DEPOSIT_WORDS = [("complete", _("complete")), ("awaited", _("awaited")), ("overdue", _("overdue"))]
MOST_SUGGESTIONS = 12
MOST_COMPARED = 400
LEAST_LETTERS = 3


def orders(season_id: int) -> QuerySet[Order]:
    """The orders of a season, latest first, each with its buyer, its lines and what they add up to.

    Adds `nucs` and `total_cents` (before tax) of the lines that stand, and `nucs_<state>` for each state of a line.
    """
    standing = ~Q(lines__state__in=Line.GONE_STATES)
    by_state = {
        f"nucs_{state.replace(' ', '_')}": Coalesce(Sum("lines__quantity", filter=Q(lines__state=state)), 0)
        for state in Line.State.values
    }
    return (
        Order.objects.filter(season_id=season_id)
        .select_related("buyer")
        .prefetch_related(Prefetch("lines", Line.objects.select_related("kind", "round").order_by("id")))
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


def with_a_line(rows: QuerySet[Order], conditions: Mapping[str, Any]) -> QuerySet[Order]:
    """Orders with at least one line that meets all the conditions (round, kind, state)."""
    return rows.filter(pk__in=Line.objects.filter(**conditions).values("order_id"))


def about(rows: QuerySet[Order], text: str) -> QuerySet[Order]:
    """Orders whose number, notes or buyer hold `text`."""
    found = Q(number__icontains=text.strip()) | Q(notes__icontains=text.strip()) | buyer_matches(text, "buyer__")
    return rows.filter(found)


def with_deposit(rows: QuerySet[Any], word: str, today: date) -> QuerySet[Any]:
    """Of orders read by `orders()`, those whose deposit is complete, awaited (whether in time or not) or overdue."""
    if word == "complete":
        return rows.filter(deposit_complete_at__isnull=False)
    rows = rows.filter(deposit_complete_at__isnull=True, nucs__gt=0)
    return rows.filter(deposit_due_on__lt=today) if word == "overdue" else rows


def deposit_word(order: Order, today: date) -> str:
    """How an order read by `orders()` stands with its deposit: a key of DEPOSIT_WORDS, or nothing once it is gone."""
    if order.deposit_complete_at is not None:
        return "complete"
    if not getattr(order, "nucs", 1):
        return ""
    return "overdue" if order.deposit_due_on < today else "awaited"


def sums(rows: QuerySet[Order]) -> dict[str, int]:
    """Nucs, cents before tax and deposit asked of the orders in a list made from `orders()`."""
    totals = rows.order_by().aggregate(
        all_nucs=Sum("nucs"), all_cents=Sum("total_cents"), all_deposits=Sum("deposit_due_cents")
    )
    return {
        "nucs": totals["all_nucs"] or 0,
        "total_cents": totals["all_cents"] or 0,
        "deposit_due_cents": totals["all_deposits"] or 0,
    }


def orders_in_full() -> QuerySet[Order]:
    """Orders with buyer, season, terms, where they are collected and who took them."""
    return Order.objects.select_related("buyer", "season", "terms", "pickup_yard", "taken_by")


def lines_of(order: Order) -> QuerySet[Line]:
    """The lines of an order as they were asked, with kind, round, tax category and what may come instead."""
    rows = Line.objects.filter(order=order).select_related("kind", "round", "tax_category")
    return rows.prefetch_related("substitutes").order_by("id")


def lines_in_full() -> QuerySet[Line]:
    """Lines with their order, its terms and buyer, kind and round."""
    return Line.objects.select_related("order__terms", "order__season", "order__buyer", "kind", "round")


def cancel_reasons(order: Order) -> dict[int, str]:
    """Why the cancelled lines of an order were cancelled, with the day, by line."""
    history = Line.history.filter(order_id=order.pk, state=Line.State.CANCELLED, history_change_reason__isnull=False)
    return dict(history.order_by("history_id").values_list("id", "history_change_reason"))


def deposit_due_without(order: Order, line: Line) -> int:
    """The deposit an order would ask once what is outstanding on a line is cancelled, in cents."""
    rows = [(row.standing if row.pk != line.pk else row.collected, row.price_cents) for row in lines_of(order)]
    nucs, cents = compute.standing_total(rows)
    return compute.deposit_due(cents_per_nuc=order.terms.deposit_cents_per_nuc, nucs=nucs, total_cents=cents)


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
    standing = Sum("lines__quantity", filter=~Q(lines__state__in=Line.GONE_STATES))
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

    @property
    def net_cents(self) -> int | None:
        return None if self.cents is None else self.cents * self.quantity


def price_lines(*, season_id: int, tier: str, day: date, asked: Iterable[tuple[NucKind, int]]) -> tuple[LinePrice, ...]:
    """The price of each (kind, quantity) for a buyer of `tier` on a day, nothing written."""
    priced = []
    for kind, quantity in asked:
        price = price_on(season_id=season_id, kind_id=kind.pk, tier=tier, day=day)
        priced.append(LinePrice(kind, quantity, price.cents if price else None))
    return tuple(priced)


def price_list(*, season_id: int, tier: str, day: date) -> tuple[LinePrice, ...]:
    """What each kind costs a buyer of `tier` on a day, leaving out kinds without a price."""
    prices = price_lines(season_id=season_id, tier=tier, day=day, asked=[(kind, 1) for kind in nuc_queries.kinds()])
    return tuple(price for price in prices if price.cents is not None)


def can_sell(season_id: int, day: date) -> bool:
    """Whether an order can be taken: some round is not over, and some price has begun."""
    begun = Price.objects.filter(season_id=season_id, valid_from__lte=day)
    return open_rounds(season_id, day).exists() and begun.exists()


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


def buyers_in(season_id: int) -> QuerySet[Buyer]:
    """Every buyer by name, with the `nucs` that stand ordered in a season and the number of `orders_ever`."""
    of_season = Q(orders__season_id=season_id) & ~Q(orders__lines__state__in=Line.GONE_STATES)
    return Buyer.objects.annotate(
        nucs=Coalesce(Sum("orders__lines__quantity", filter=of_season), 0), orders_ever=Count("orders", distinct=True)
    ).order_by("search_key", "id")


def kinds_on_sale(season_id: int, day: date) -> QuerySet[NucKind]:
    """The kinds with a price that has begun, by name."""
    return nuc_queries.kinds().filter(
        pk__in=Price.objects.filter(season_id=season_id, valid_from__lte=day).values("kind_id")
    )


def usual_kind(season_id: int) -> int | None:
    """The kind most often asked for in a season, by key; None before the first order."""
    asked = Line.objects.filter(order__season_id=season_id).values_list("kind_id")
    most = asked.annotate(lines=Count("id")).order_by("-lines", "kind_id").first()
    return most[0] if most else None


def open_rounds(season_id: int, day: date) -> QuerySet[Round]:
    """The rounds of a season that are not over on a day, in the order of their weeks."""
    return Round.objects.filter(season_id=season_id, ends_before__gt=day).order_by("starts_on", "id")


def orders_of_buyer(buyer: Buyer) -> QuerySet[Order]:
    """Everything a buyer ever ordered, latest first, with the `nucs` that stand."""
    nucs = Coalesce(Sum("lines__quantity", filter=~Q(lines__state__in=Line.GONE_STATES)), 0)
    return Order.objects.filter(buyer=buyer).select_related("season").annotate(nucs=nucs).order_by("-placed_on", "-id")


def pickup_yards() -> QuerySet[Yard]:
    """Yards where buyers may collect."""
    return Yard.objects.filter(is_pickup_yard=True).order_by("name", "id")
