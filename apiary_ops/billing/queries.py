from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any

from django.db.models import Count, F, Min, Prefetch, Q, QuerySet, Sum

from apiary_ops.business import queries as business_queries
from apiary_ops.orders import compute as order_compute
from apiary_ops.orders import queries as order_queries
from apiary_ops.orders.models import Buyer, Line, Order

from . import compute
from .models import Deposit, DepositMove, Invoice, InvoiceLine, InvoicePayment, Receipt

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
    rows = Receipt.objects.select_related("order", "buyer", "issued_by", "invoice_payment__invoice")
    if season_id is not None:
        rows = rows.filter(order__season_id=season_id)
    return rows.order_by("-series_year", "-serial")


def invoice_in_full(pk: int) -> Invoice:
    """One invoice with its order and lines, as its paper needs it. Raises Invoice.DoesNotExist."""
    return invoices().prefetch_related(Prefetch("lines", InvoiceLine.objects.order_by("id"))).get(pk=pk)


def receipt_in_full(pk: int) -> Receipt:
    """One receipt with the terms or the invoice it speaks of. Raises Receipt.DoesNotExist."""
    return receipts().select_related("order__terms").get(pk=pk)


def lines_of(invoice: Invoice) -> QuerySet[InvoiceLine]:
    """The rows of an invoice as printed."""
    return InvoiceLine.objects.filter(invoice=invoice).select_related("invoice").order_by("id")


def payments_of(invoice: Invoice) -> QuerySet[InvoicePayment]:
    """What was paid on an invoice, with the receipts."""
    return InvoicePayment.objects.filter(invoice=invoice).select_related("receipt").order_by("id")


def papers_about(rows: QuerySet[Any], text: str) -> QuerySet[Any]:
    """Invoices or receipts whose number, order or buyer (as printed or as known now) hold `text`."""
    text = text.strip()
    printed = Q(number__icontains=text) | Q(order__number__icontains=text) | Q(buyer_name__icontains=text)
    return rows.filter(printed | order_queries.buyer_matches(text, "buyer__"))


def with_debt(rows: QuerySet[Any], *, is_owed: bool) -> QuerySet[Any]:
    """Of invoices read by `invoices()`, those still owed or those paid."""
    return rows.filter(owed__gt=0) if is_owed else rows.filter(owed=0)


def invoice_sums(rows: QuerySet[Invoice]) -> dict[str, int]:
    """What the invoices of a list come to, in cents."""
    names = ("total_cents", "deposit_cents", "paid_cents", "owed")
    sums = rows.order_by().aggregate(**{f"all_{name}": Sum(name) for name in names})
    return {name: sums[f"all_{name}"] or 0 for name in names}


def receipt_sums(rows: QuerySet[Receipt]) -> dict[str, int]:
    """What the receipts of a list come to, in cents."""
    return {"cents": rows.order_by().aggregate(all_cents=Sum("cents"))["all_cents"] or 0}


def invoiced_total(season_id: int) -> int:
    """What a season's invoices come to with tax, in cents."""
    return invoice_sums(invoices(season_id))["total_cents"]


def received_total(season_id: int) -> int:
    """All money received for a season's orders, deposits and balances, in cents; refunds are not taken off."""
    return receipt_sums(receipts(season_id))["cents"]


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
class DepositStanding:
    """How an order stands with its deposit, all in cents."""

    held: int
    still_asked: int  # by the terms for nucs still to come, beyond what is held; never more than `room`
    room: int  # how much more may be paid ahead
    spare: int  # held beyond what the terms ask for nucs still to come


def deposit_standing(order: Order, *, on: date) -> DepositStanding:
    """What is held of an order's deposit, what the terms still ask, and how much of it is free."""
    deposit = deposit_of(order)
    held, asked = deposit.held_cents, asked_for_what_is_left(order)
    room = max(still_to_come(order, on=on) - held, 0)
    return DepositStanding(held, min(max(asked - held, 0), room), room, max(held - asked, 0))


def deposit_covers(order: Order) -> bool:
    """Whether what is held covers what the terms ask for the nucs still to come."""
    return deposit_of(order).held_cents >= asked_for_what_is_left(order)


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
        line.pk: 0 if line.is_gone else line.quantity - billed.get(line.pk, 0) for line in order_queries.lines_of(order)
    }


def reckon(order: Order, quantities: Mapping[int, int], *, on: date) -> Reckoning:
    """What handing over `quantities` (nucs by line) on a day comes to; nothing is written.

    Raises NothingSetUp when a tax category has no rate on that day.
    """
    lines, totals = _totals(order, quantities, on)
    nucs, left = sum(row.quantity for row in lines), left_to_deliver(order)
    held = deposit_of(order).held_cents
    rest = {pk: count - quantities.get(pk, 0) for pk, count in left.items()}
    share = compute.deposit_share(
        held_cents=held,
        nucs_now=nucs,
        nucs_left=max(nucs, sum(left.values())),
        total_cents=totals.total_cents,
        rest_cents=_totals(order, rest, on)[1].total_cents if held else 0,
    )
    return Reckoning(lines, totals, share)


def _totals(order: Order, quantities: Mapping[int, int], on: date) -> tuple[tuple[BilledLine, ...], compute.Totals]:
    """So many nucs of each line as an invoice would show them, and what they come to."""
    asked = [line for line in order_queries.lines_of(order) if quantities.get(line.pk, 0) > 0]
    lines = tuple(_billed(line, quantities[line.pk], on) for line in asked)
    amounts = [compute.TaxedAmount(row.net_cents, row.line.tax_category.code, row.percent) for row in lines]
    return lines, compute.document_totals(amounts)


def still_to_come(order: Order, *, on: date) -> int:
    """What all nucs not yet invoiced on an order would cost with tax, in cents, deposit not taken off."""
    return _totals(order, left_to_deliver(order), on)[1].total_cents


def asked_for_what_is_left(order: Order) -> int:
    """The deposit that the order's terms ask for the nucs not yet invoiced, in cents."""
    left = left_to_deliver(order)
    lines = [(max(left[line.pk], 0), line.price_cents) for line in order_queries.lines_of(order)]
    nucs, cents = order_compute.standing_total(lines)
    return order_compute.deposit_due(cents_per_nuc=order.terms.deposit_cents_per_nuc, nucs=nucs, total_cents=cents)


def _billed(line: Line, quantity: int, on: date) -> BilledLine:
    net = compute.line_net(price_cents=line.price_cents, quantity=quantity)
    return BilledLine(line, quantity, net, business_queries.tax_percent(line.tax_category, on))
