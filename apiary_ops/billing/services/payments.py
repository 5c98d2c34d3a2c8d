from datetime import date
from uuid import UUID

from django.db import transaction
from django.urls import reverse
from django.utils.translation import gettext as _

from apiary_ops.billing.models import Invoice, InvoicePayment, Receipt
from apiary_ops.books import services as books
from apiary_ops.core import once
from apiary_ops.kernel.ref import Ref
from apiary_ops.kernel.refusals import RuleBroken
from apiary_ops.people.models import User

from .money import ACCOUNTS, buyer_subject, check_amount, in_words, write_receipt


class MoreThanOwed(RuleBroken):
    """More than the invoice still asks."""


@transaction.atomic
def take_balance(
    *, invoice_id: int, cents: int, received_on: date, method: str, actor: User, once_key: UUID | None = None
) -> Receipt:
    """Money for an invoice, in one part or several, with its receipt.

    Raises NoAmount, MoreThanOwed, AlreadyDone and what the books refuse.
    """
    claimed = once.claim(once_key, "billing:balance")
    check_amount(cents)
    invoice = Invoice.objects.select_for_update(no_key=True).get(pk=invoice_id)
    if cents > invoice.owed_cents:
        raise MoreThanOwed(
            _("Invoice %(number)s asks only %(owed)s more. Enter that or less.")
            % {"number": invoice.number, "owed": in_words(invoice.owed_cents)}
        )
    order = invoice.order
    parts = InvoicePayment.objects.filter(invoice=invoice).count()
    entry = books.post_entry(
        source=str(Ref("invoice", invoice.number)),
        purpose=f"payment {parts + 1}",
        posted_on=received_on,
        season_id=order.season_id,
        memo=_("Payment of invoice %(number)s") % {"number": invoice.number},
        postings=[
            books.Posting(ACCOUNTS[method], cents),
            books.Posting("receivable", -cents, subject=buyer_subject(order)),
        ],
        actor=actor,
    )
    receipt = write_receipt(
        order=order,
        entry=entry,
        received_on=received_on,
        method=method,
        cents=cents,
        purpose="balance",
        actor=actor,
    )
    InvoicePayment.objects.create(invoice=invoice, receipt=receipt, cents=cents)
    once.settle(claimed, reverse("billing:receipt", args=[receipt.number]))
    return receipt
