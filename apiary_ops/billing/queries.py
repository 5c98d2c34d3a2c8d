from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from django.db.models import Count, F, Min, Q, QuerySet, Sum

from apiary_ops.business import queries as business_queries
from apiary_ops.orders import compute as order_compute
from apiary_ops.orders import queries as order_queries
from apiary_ops.orders.models import Buyer, Line, Order

from . import compute
from .models import Deposit, DepositMove, Invoice, InvoiceLine, Receipt

HELD = F("taken_cents") - F("applied_cents") - F("refunded_cents") - F("kept_cents") - F("moved_cents")
OWED = F("total_cents") - F("deposit_cents") - F("paid_cents")


def deposit_of(order: Order) -> Deposit:
    """The deposit of an order; an empty one, not stored, when nothing was ever taken."""
    return Deposit.objects.filter(order=order).first() or Deposit(order=order)


def moves_of(order: Order) -> QuerySet[DepositMove]:
    """Money into and out of an order's deposit, in the order it was recorded."""
    rows = DepositMove.objects.filter(deposit__order=order).select_related("entry", "recorded_by")
    return rows.order_by("id")


def deposits_held(season_id: int) -> QuerySet[Deposit]:
    """The deposits of a season's orders that still hold money, as `held`, latest order first."""
    rows = Deposit.objects.filter(order__season_id=season_id).annotate(held=HELD).filter(held__gt=0)
    return rows.select_related("order__buyer").order_by("-order__placed_on", "-order_id")


def deposits_held_total(season_id: int) -> int:
    """What all deposits of a season's orders hold, in cents; equals the liability account (a proof of the close)."""
    return Deposit.objects.filter(order__season_id=season_id).aggregate(cents=Sum(HELD))["cents"] or 0


def invoices(season_id: int | None = None) -> QuerySet[Invoice]:
    """Invoices, latest first, each with its order and what is `owed`; of one season or of all."""
    rows = Invoice.objects.select_related("order", "buyer").annotate(owed=OWED)
    if season_id is not None:
        rows = rows.filter(order__season_id=season_id)
    return rows.order_by("-series_year", "-serial")


def receipts(season_id: int | None = None) -> QuerySet[Receipt]:
    """Receipts, latest first, each with its order and buyer; of one season or of all."""
    rows = Receipt.objects.select_related("order", "buyer", "issued_by")
    if season_id is not None:
        rows = rows.filter(order__season_id=season_id)
    return rows.order_by("-series_year", "-serial")


def invoice_by_number(number: str) -> Invoice:
    """One invoice with its order. Raises Invoice.DoesNotExist."""
    return Invoice.objects.select_related("order__season", "buyer", "issued_by").get(number=number)


def receipt_by_number(number: str) -> Receipt:
    """One receipt with its order. Raises Receipt.DoesNotExist."""
    return receipts().get(number=number)


def owed(order: Order) -> int:
    """What is still unpaid on the invoices of an order, in cents."""
    return Invoice.objects.filter(order=order).aggregate(cents=Sum(OWED))["cents"] or 0


def who_owes(season_id: int | None = None) -> QuerySet[Buyer]:
    """Buyers with unpaid invoices: `owed`, `unpaid` invoices and the `oldest` day of issue; the largest debt first."""
    of_season = Q(invoices__order__season_id=season_id) if season_id is not None else Q()
    debt = F("invoices__total_cents") - F("invoices__deposit_cents") - F("invoices__paid_cents")
    is_open = of_season & Q(invoices__total_cents__gt=F("invoices__deposit_cents") + F("invoices__paid_cents"))
    rows = Buyer.objects.filter(is_open).annotate(
        owed=Sum(debt), unpaid=Count("invoices"), oldest=Min("invoices__issued_on")
    )
    return rows.order_by("-owed", "search_key", "id")


def owed_total(season_id: int | None = None) -> int:
    """What all invoices still ask, in cents; equals the account of what buyers owe (a proof of the close)."""
    rows = Invoice.objects.all() if season_id is None else Invoice.objects.filter(order__season_id=season_id)
    return rows.aggregate(cents=Sum(OWED))["cents"] or 0


@dataclass(frozen=True, slots=True)
class BilledLine:
    """Nucs of one order line as an invoice would show them."""

    line: Line
    quantity: int
    net_cents: int
    percent: Decimal


@dataclass(frozen=True, slots=True)
class Reckoning:
    """What a delivery comes to: its lines, totals, the part of the deposit it uses, and what is left to pay."""

    lines: tuple[BilledLine, ...]
    totals: compute.Totals
    deposit_cents: int

    @property
    def due_cents(self) -> int:
        return compute.amount_due(total_cents=self.totals.total_cents, paid_cents=self.deposit_cents)


def left_to_deliver(order: Order) -> dict[int, int]:
    """Nucs of each line of an order that stand and are not yet invoiced; a cancelled or lapsed line has none left."""
    billed = dict(
        InvoiceLine.objects.filter(order_line__order=order).values_list("order_line_id").annotate(nucs=Sum("quantity"))
    )
    return {
        line.pk: 0 if line.state in order_queries.GONE else line.quantity - billed.get(line.pk, 0)
        for line in order_queries.lines_of(order)
    }


def reckon(order: Order, quantities: Mapping[int, int], *, on: date) -> Reckoning:
    """What handing over `quantities` (nucs by line) on a day comes to; nothing is written.

    Raises NothingSetUp when a tax category has no rate on that day.
    """
    asked = [line for line in order_queries.lines_of(order) if quantities.get(line.pk)]
    lines = tuple(_billed(line, quantities[line.pk], on) for line in asked)
    amounts = [compute.TaxedAmount(row.net_cents, row.line.tax_category.code, row.percent) for row in lines]
    totals = compute.document_totals(amounts)
    nucs = sum(row.quantity for row in lines)
    share = compute.deposit_share(
        held_cents=deposit_of(order).held_cents,
        nucs_now=nucs,
        nucs_left=max(nucs, sum(left_to_deliver(order).values())),
        total_cents=totals.total_cents,
    )
    return Reckoning(lines, totals, share)


def still_to_come(order: Order, *, on: date) -> int:
    """What all nucs not yet invoiced on an order would cost with tax, in cents, deposit not taken off."""
    left = {pk: nucs for pk, nucs in left_to_deliver(order).items() if nucs > 0}
    return reckon(order, left, on=on).totals.total_cents if left else 0


def asked_for_what_is_left(order: Order) -> int:
    """The deposit that the order's terms ask for the nucs not yet invoiced, in cents."""
    left = left_to_deliver(order)
    lines = [(max(left[line.pk], 0), line.price_cents) for line in order_queries.lines_of(order)]
    nucs, cents = order_compute.standing_total(lines)
    return order_compute.deposit_due(cents_per_nuc=order.terms.deposit_cents_per_nuc, nucs=nucs, total_cents=cents)


def _billed(line: Line, quantity: int, on: date) -> BilledLine:
    net = compute.line_net(price_cents=line.price_cents, quantity=quantity)
    return BilledLine(line, quantity, net, business_queries.tax_percent(line.tax_category, on))
