"""The invoice and the receipt on paper, from what is frozen in them alone."""

from dataclasses import replace
from datetime import date
from typing import Any

from django.utils.translation import gettext as _

from apiary_ops.business import queries as business_queries
from apiary_ops.business.papers import paper_header, paper_words
from apiary_ops.core.days import spoken_day
from apiary_ops.kernel.money import Money
from apiary_ops.papers import Block, Column, PaperHeader, Words, build, facts, heading, paragraph, table, title

from . import queries
from .models import Invoice, Receipt


def invoice_pdf(invoice_id: int) -> bytes:
    """The invoice as PDF. The same bytes each time, whatever changed in the settings since it was issued.

    Carries what Canada asks of a supplier's paper of 500.00 and more, and the EU's and the UK's full invoices:
    seller, registration, buyer, number, days of issue and supply, each supply with its price, tax by category with
    its rate or the words that it is zero-rated or exempt, the total, the deposit taken off and what is left to pay.
    """
    invoice = queries.invoice_in_full(invoice_id)
    content = [
        title(_("Invoice %(number)s") % {"number": invoice.number}, _supplied(invoice)),
        facts(_parties(invoice)),
        _lines(invoice),
        _taxes(invoice),
        *(paragraph(tax["note"]) for tax in invoice.taxes if tax["note"]),
        _to_pay(invoice),
        facts(_terms(invoice)),
    ]
    return _built(invoice.seller, content, _("Invoice"), invoice.number, invoice.issued_on)


def receipt_pdf(receipt_id: int) -> bytes:
    """The receipt as PDF. The same bytes each time."""
    receipt = queries.receipt_in_full(receipt_id)
    content = [
        title(_("Receipt %(number)s") % {"number": receipt.number}, _received(receipt)),
        facts(_receipt_facts(receipt)),
    ]
    if receipt.purpose == "deposit":
        content += [
            paragraph(_("This deposit holds a place for nucs and is taken off the invoice when they are handed over.")),
            heading(_("Terms of the deposit")),
            paragraph(receipt.order.terms.text),
        ]
    return _built(receipt.seller, content, _("Receipt"), receipt.number, receipt.received_on)


def _built(seller: dict[str, Any], content: list[Block], name: str, number: str, issued_on: date) -> bytes:
    business = business_queries.business()
    header = _header_of(seller, paper_header(business))
    words = _issued_words(paper_words())
    return build(header, content, title=name, number=number, printed_on=issued_on, words=words)


def _header_of(seller: dict[str, Any], today: PaperHeader) -> PaperHeader:
    """The head as it stood when the paper was issued; only the size of the sheet is today's."""
    return replace(
        today,
        business_name=seller["name"],
        address_lines=tuple(seller["address"]),
        contact_line=" · ".join(part for part in (seller["phone"], seller["email"]) if part),
        cautions=tuple(seller["cautions"]),
    )


def _issued_words(words: Words) -> Words:
    """The foot says when the paper was issued, which never changes, not when this copy was printed."""
    return replace(words, printed=_("Issued {date}"))


def _supplied(invoice: Invoice) -> str:
    day = spoken_day(invoice.supplied_on)
    return _("Handed over on %(day)s, order %(order)s") % {"day": day, "order": invoice.order.number}


def _parties(invoice: Invoice) -> list[tuple[str, str]]:
    rows = [
        (_("Buyer"), "\n".join(part for part in (invoice.buyer_name, invoice.buyer_address) if part)),
        (_("Issued on"), spoken_day(invoice.issued_on)),
        (_("Handed over on"), spoken_day(invoice.supplied_on)),
    ]
    if invoice.seller["registration"]:
        rows.append((_("Our tax registration"), invoice.seller["registration"]))
    return rows


def _lines(invoice: Invoice) -> Block:
    taxes = {tax["code"]: tax for tax in invoice.taxes}
    rows = [
        (
            line.description,
            _rate(taxes[line.tax_code]),
            f"{line.quantity:,}",
            _plain(line.price_cents, invoice.currency),
            _plain(line.net_cents, invoice.currency),
        )
        for line in invoice.lines.all()
    ]
    nucs = sum(line.quantity for line in invoice.lines.all())
    return table(
        [
            Column(_("What"), share=2.4),
            Column(_("Tax"), share=2.2),
            Column(_("Nucs"), "right", share=0.8),
            Column(_("Each, before tax (%(currency)s)") % {"currency": invoice.currency}, "right", share=1.4),
            Column(_("Before tax (%(currency)s)") % {"currency": invoice.currency}, "right", share=1.4),
        ],
        rows,
        total_rows=[(_("Together"), "", f"{nucs:,}", "", _plain(invoice.net_cents, invoice.currency))],
    )


def _taxes(invoice: Invoice) -> Block:
    rows = [
        (
            _rate(tax),
            _plain(tax["net_cents"], invoice.currency),
            _plain(tax["tax_cents"], invoice.currency),
        )
        for tax in invoice.taxes
    ]
    return table(
        [
            Column(_("Tax"), share=3),
            Column(_("On (%(currency)s)") % {"currency": invoice.currency}, "right", share=1.4),
            Column(_("Tax (%(currency)s)") % {"currency": invoice.currency}, "right", share=1.4),
        ],
        rows,
        total_rows=[(_("Tax together"), "", _plain(invoice.tax_cents, invoice.currency))] if len(rows) > 1 else (),
    )


def _rate(tax: dict[str, Any]) -> str:
    """The category in words with its rate: "standard rate 15 %", "zero rated 0 %"."""
    return f"{tax['name']} {tax['percent']}\N{NO-BREAK SPACE}%"


def _to_pay(invoice: Invoice) -> Block:
    currency = invoice.currency
    rows = [(_("Total with tax"), _plain(invoice.total_cents, currency))]
    if invoice.deposit_cents:
        rows.append((_("Deposit taken off"), _plain(-invoice.deposit_cents, currency)))
    return table(
        [Column(_("To pay"), share=3), Column(_("Amount (%(currency)s)") % {"currency": currency}, "right", share=1.4)],
        rows,
        total_rows=[(_("Left to pay"), _plain(invoice.total_cents - invoice.deposit_cents, currency))],
    )


def _terms(invoice: Invoice) -> list[tuple[str, str]]:
    if invoice.total_cents == invoice.deposit_cents:
        return [(_("Terms of payment"), _("Settled in full by the deposit."))]
    day = spoken_day(invoice.supplied_on)
    rows = [(_("Terms of payment"), _("Due when the nucs are handed over, %(day)s.") % {"day": day})]
    if invoice.seller["payment_instructions"]:
        rows.append((_("How to pay"), invoice.seller["payment_instructions"]))
    return rows


def _received(receipt: Receipt) -> str:
    day = spoken_day(receipt.received_on)
    return _("Received on %(day)s, order %(order)s") % {"day": day, "order": receipt.order.number}


def _receipt_facts(receipt: Receipt) -> list[tuple[str, str]]:
    if receipt.purpose == "deposit":
        purpose = _("Deposit for order %(number)s") % {"number": receipt.order.number}
    else:
        purpose = _("Payment of invoice %(number)s") % {"number": receipt.invoice_payment.invoice.number}
    rows = [
        (_("Received from"), receipt.buyer_name),
        (_("Amount"), str(Money(receipt.cents, receipt.currency))),
        (_("For"), purpose),
        (_("How"), receipt.get_method_display()),
    ]
    if receipt.seller["registration"]:
        rows.append((_("Our tax registration"), receipt.seller["registration"]))
    return rows


def _plain(cents: int, currency: str) -> str:
    return Money(cents, currency).plain
