from datetime import date
from uuid import UUID

from django.db import transaction
from django.urls import reverse
from django.utils.translation import gettext as _

from apiary_ops.books import services as books
from apiary_ops.books.services import Posting
from apiary_ops.business.queries import business
from apiary_ops.core import once
from apiary_ops.costs.models import Bill, BillPayment
from apiary_ops.kernel.money import Money
from apiary_ops.kernel.refusals import RuleBroken
from apiary_ops.people.models import User

from .bills import BillIsReversed, subject_of


class Overpaid(RuleBroken):
    pass


@transaction.atomic
def pay_bill(
    *, bill_id: int, paid_on: date, cents: int, paid_from: str, actor: User | None, once_key: UUID | None = None
) -> BillPayment:
    """Pay a bill, or part of it, from "bank" or "cash". Raises Overpaid, BillIsReversed, NoPeriod, PeriodLocked."""
    if cents <= 0:
        raise ValueError("A payment is more than zero.")
    claimed = once.claim(once_key, "bill payment")
    bill = Bill.objects.select_for_update(no_key=True, of=("self",)).select_related("entry", "supplier").get(pk=bill_id)
    if bill.reversed_on:
        raise BillIsReversed(_("This bill is reversed; there is nothing to pay."))
    if cents > bill.owed_cents:
        owed = Money(bill.owed_cents, business().currency)
        raise Overpaid(_("Only %(owed)s is owed on this bill. Enter at most that.") % {"owed": owed})
    number = bill.payments.count() + 1
    words = {"reference": bill.reference, "supplier": bill.supplier.name}
    entry = books.post_entry(
        source=bill.entry.source,
        purpose=f"payment {number}",
        posted_on=paid_on,
        season_id=bill.season_id,
        memo=_("Payment of bill %(reference)s to %(supplier)s") % words,
        postings=[Posting("payable", cents, subject=subject_of(bill.supplier_id)), Posting(paid_from, -cents)],
        actor=actor,
    )
    payment = BillPayment.objects.create(bill=bill, paid_on=paid_on, cents=cents, paid_from=paid_from, entry=entry)
    once.settle(claimed, reverse("costs:bill", args=[bill.pk]))
    return payment


class PaymentIsReversed(RuleBroken):
    pass


@transaction.atomic
def reverse_payment(
    *, payment_id: int, reversed_on: date, reason: str, actor: User | None, once_key: UUID | None = None
) -> BillPayment:
    """Take back a payment that was entered by mistake; the bill is owed again. Raises PaymentIsReversed."""
    claimed = once.claim(once_key, "payment reversal")
    Bill.objects.select_for_update(no_key=True).get(payments=payment_id)
    payment = BillPayment.objects.get(pk=payment_id)
    if payment.reversed_on:
        raise PaymentIsReversed(_("This payment is already reversed."))
    memo = _("Reversed: %(reason)s") % {"reason": reason}
    books.reverse_entry(entry_id=payment.entry_id, reversed_on=reversed_on, memo=memo, actor=actor)
    payment.reversed_on = reversed_on
    payment.save(update_fields=["reversed_on"])
    once.settle(claimed, reverse("costs:bill", args=[payment.bill_id]))
    return payment
