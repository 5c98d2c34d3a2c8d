from collections.abc import Mapping
from datetime import date
from typing import Any

from django.db import transaction
from django.utils.translation import gettext as _

from apiary_ops.billing import compute, queries
from apiary_ops.billing.models import DepositMove, Invoice, InvoiceLine
from apiary_ops.books import services as books
from apiary_ops.books.models import Entry
from apiary_ops.business import queries as business_queries
from apiary_ops.business.models import Business
from apiary_ops.kernel.refusals import RuleBroken
from apiary_ops.orders import services as order_services
from apiary_ops.orders.models import Order
from apiary_ops.people.models import User

from .money import buyer_subject, lock_deposit, order_subject, seller_as_printed


class NothingToInvoice(RuleBroken):
    """No nucs, or nothing to pay for them."""


class NotOnThisOrder(RuleBroken):
    """A line of another order."""


class MoreThanOrdered(RuleBroken):
    """More nucs than the line still has to come."""


class AlreadyInvoiced(RuleBroken):
    """The same delivery was invoiced before."""


@transaction.atomic
def issue_invoice(
    *,
    order_id: int,
    source: str,
    supplied_on: date,
    issued_on: date,
    quantities: Mapping[int, int],
    actor: User,
) -> Invoice:
    """Invoice nucs handed over (`quantities` by order line), use their share of the deposit, number it last.

    `source` names the delivery ("hand-over:17") and is invoiced once. Everything the paper shows is frozen in it.
    Revenue and tax are posted on the day of supply. Raises NothingToInvoice, NotOnThisOrder, MoreThanOrdered,
    AlreadyInvoiced, NothingSetUp (no tax rate) and what the books refuse.
    """
    order = order_services.lock_order(order_id)
    deposit = lock_deposit(order)
    _check(order, source, quantities)
    business = business_queries.business()
    reckoning = queries.reckon(order, quantities, on=supplied_on)
    if not reckoning.totals.total_cents:
        raise NothingToInvoice(_("These nucs cost nothing, so there is nothing to invoice."))
    sale, *applied = _post(order, source, supplied_on, reckoning, actor)
    invoice = _number(order, business, source, supplied_on, issued_on, reckoning, sale, actor)
    InvoiceLine.objects.bulk_create(_invoice_line(invoice, row) for row in reckoning.lines)
    if applied:
        DepositMove.objects.create(
            deposit=deposit,
            kind=DepositMove.Kind.APPLIED,
            cents=reckoning.deposit_cents,
            on=supplied_on,
            source=source,
            reason=_("invoice %(number)s") % {"number": invoice.number},
            entry=applied[0],
            recorded_by=actor,
        )
    return invoice


def _check(order: Order, source: str, quantities: Mapping[int, int]) -> None:
    if Invoice.objects.filter(source=source).exists():
        raise AlreadyInvoiced(_("This delivery is already invoiced; nothing was invoiced twice."))
    if not quantities or any(nucs <= 0 for nucs in quantities.values()):
        raise NothingToInvoice(_("No nucs are handed over. Choose at least one."))
    left = queries.left_to_deliver(order)
    for line_id, nucs in quantities.items():
        if line_id not in left:
            raise NotOnThisOrder(_("A nuc is put on a line of another order. Choose the line again."))
        if nucs > left[line_id]:
            raise MoreThanOrdered(
                _("This line has %(left)s still to come, not %(nucs)s. Hand over fewer.")
                % {"left": left[line_id], "nucs": nucs}
            )


def _post(order: Order, source: str, on: date, reckoning: queries.Reckoning, actor: User) -> list[Entry]:
    """The sale, and the deposit used for it where there is one."""
    totals, used = reckoning.totals, reckoning.deposit_cents
    buyer, about = buyer_subject(order), {"number": order.number}
    drafts = [
        books.EntryDraft(
            source,
            "invoice",
            on,
            order.season_id,
            _("Nucs handed over, order %(number)s") % about,
            [
                books.Posting("receivable", totals.total_cents, subject=buyer),
                books.Posting("nuc-sales", -totals.net_cents, subject=order_subject(order)),
                books.Posting("tax-due", -totals.tax_cents),
            ],
        )
    ]
    if used:
        drafts.append(
            books.EntryDraft(
                source,
                "deposit applied",
                on,
                order.season_id,
                _("Deposit used, order %(number)s") % about,
                [
                    books.Posting("deposits-held", used, subject=order_subject(order)),
                    books.Posting("receivable", -used, subject=buyer),
                ],
            )
        )
    return books.post_entries(drafts, actor=actor)


def _number(
    order: Order,
    business: Business,
    source: str,
    supplied_on: date,
    issued_on: date,
    reckoning: queries.Reckoning,
    sale: Entry,
    actor: User,
) -> Invoice:
    year, serial = books.next_number(series="invoice", day=issued_on)
    totals = reckoning.totals
    return Invoice.objects.create(
        series_year=year,
        serial=serial,
        number=compute.invoice_number(year, serial),
        order=order,
        buyer_id=order.buyer_id,
        source=source,
        issued_on=issued_on,
        supplied_on=supplied_on,
        currency=business.currency,
        seller=seller_as_printed(business),
        buyer_name=order.buyer.name,
        buyer_address=order.buyer.address,
        net_cents=totals.net_cents,
        tax_cents=totals.tax_cents,
        total_cents=totals.total_cents,
        deposit_cents=reckoning.deposit_cents,
        taxes=_taxes(reckoning),
        entry=sale,
        issued_by=actor,
    )


def _taxes(reckoning: queries.Reckoning) -> list[dict[str, Any]]:
    """The breakdown as stored: the category's own code and words, its EN 16931 code, the rate as text."""
    categories = {row.line.tax_category.code: row.line.tax_category for row in reckoning.lines}
    return [
        {
            "code": tax.category,
            "name": categories[tax.category].name,
            "category": categories[tax.category].en16931_code,
            "percent": f"{tax.percent.normalize():f}",
            "net_cents": tax.net_cents,
            "tax_cents": tax.tax_cents,
            "note": categories[tax.category].note,
        }
        for tax in reckoning.totals.taxes
    ]


def _invoice_line(invoice: Invoice, row: queries.BilledLine) -> InvoiceLine:
    return InvoiceLine(
        invoice=invoice,
        order_line=row.line,
        description=row.line.kind.name,
        quantity=row.quantity,
        price_cents=row.line.price_cents,
        net_cents=row.net_cents,
        tax_code=row.line.tax_category.code,
    )
