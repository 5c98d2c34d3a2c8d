"""What is to be paid at the gate, for many orders at once."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from django.db.models import F, Sum

from apiary_ops.billing import compute
from apiary_ops.billing.models import Deposit, Invoice, InvoiceLine
from apiary_ops.business.models import TaxRate
from apiary_ops.orders.models import Line


@dataclass(frozen=True, slots=True)
class Expected:
    """In cents: what the nucs come to with tax, the part of the deposit they use, and what older invoices ask."""

    total_cents: int
    deposit_cents: int
    unpaid_cents: int

    @property
    def due_cents(self) -> int:
        """What the new invoice will ask."""
        return self.total_cents - self.deposit_cents

    @property
    def owed_cents(self) -> int:
        """All the buyer owes on the order once the nucs have left."""
        return self.due_cents + self.unpaid_cents


def expected(quantities: Mapping[int, Mapping[int, int]], on: date) -> dict[int, Expected]:
    """What handing over so many nucs (by order and line) on a day comes to, in a fixed number of queries.

    The same as billing reckons for one order (tested).
    """
    lines = list(Line.objects.filter(order_id__in=quantities).select_related("tax_category").order_by("id"))
    billed = dict(
        InvoiceLine.objects.filter(order_line__order_id__in=quantities)
        .values_list("order_line_id")
        .annotate(nucs=Sum("quantity"))
    )
    held = {deposit.order_id: deposit.held_cents for deposit in Deposit.objects.filter(order_id__in=quantities)}
    unpaid = dict(
        Invoice.objects.filter(order_id__in=quantities)
        .values_list("order_id")
        .annotate(cents=Sum(F("total_cents") - F("deposit_cents") - F("paid_cents")))
    )
    percents = _percents(on)
    found = {}
    for order_id, nucs in quantities.items():
        own = [line for line in lines if line.order_id == order_id]
        stand = [line for line in own if not line.is_gone]
        left = {line.pk: line.quantity - billed.get(line.pk, 0) for line in stand}
        rest = {pk: count - nucs.get(pk, 0) for pk, count in left.items()}
        total = compute.document_totals(_amounts(own, nucs, percents)).total_cents
        rest_cents = compute.document_totals(_amounts(own, rest, percents)).total_cents
        share = _share(held.get(order_id, 0), sum(nucs.values()), sum(left.values()), total, rest_cents)
        found[order_id] = Expected(total, share, unpaid.get(order_id, 0))
    return found


def _amounts(
    lines: Iterable[Line], nucs: Mapping[int, int], percents: Mapping[int, Decimal]
) -> list[compute.TaxedAmount]:
    return [
        compute.TaxedAmount(
            compute.line_net(price_cents=line.price_cents, quantity=nucs[line.pk]),
            line.tax_category.code,
            percents.get(line.tax_category_id, Decimal(0)),
        )
        for line in lines
        if nucs.get(line.pk, 0) > 0
    ]


def _share(held_cents: int, nucs_now: int, nucs_left: int, total_cents: int, rest_cents: int) -> int:
    if not nucs_now:
        return 0
    return compute.deposit_share(
        held_cents=held_cents,
        nucs_now=nucs_now,
        nucs_left=max(nucs_now, nucs_left),
        total_cents=total_cents,
        rest_cents=rest_cents,
    )


def _percents(on: date) -> dict[int, Decimal]:
    """The rate of each tax category on a day; the latest one wins."""
    rates = TaxRate.objects.filter(valid_from__lte=on).order_by("valid_from", "id")
    return dict(rates.values_list("category_id", "percent"))
