from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from uuid import UUID

from django.db import IntegrityError, transaction
from django.urls import reverse
from django.utils.translation import gettext as _

from apiary_ops.books import services as books
from apiary_ops.books.models import Account
from apiary_ops.books.services import Posting
from apiary_ops.core import once
from apiary_ops.costs.models import Bill, BillLine, Supplier
from apiary_ops.kernel.ref import Ref
from apiary_ops.kernel.refusals import RuleBroken
from apiary_ops.people.models import User

LOT_SUBJECT = "lot:"  # parts that are stock: queens of a lot


@dataclass(frozen=True, slots=True)
class BillPart:
    """A part of a bill: the account it is charged to, in book currency; below zero for a reduction."""

    account: str
    cents: int
    description: str
    subject: str = ""


class BillIsEmpty(RuleBroken):
    pass


class BillAlreadyRecorded(RuleBroken):
    pass


class DueBeforeBilled(RuleBroken):
    pass


@transaction.atomic
def record_bill(
    *,
    season_id: int,
    supplier_id: int,
    reference: str,
    billed_on: date,
    due_on: date,
    parts: Sequence[BillPart],
    actor: User,
    once_key: UUID | None = None,
) -> Bill:
    """Record what a supplier charges and post it: each part to its account, the total owed to the supplier.

    `reference` is the supplier's own number. Raises BillIsEmpty, DueBeforeBilled, BillAlreadyRecorded, and what
    `books.post_entry` refuses: UnknownAccount, NoPeriod, PeriodLocked.
    """
    claimed = once.claim(once_key, "bill")
    supplier = Supplier.objects.select_for_update(no_key=True).get(pk=supplier_id)
    parts = [part for part in parts if part.cents]
    total = sum(part.cents for part in parts)
    if total <= 0:
        raise BillIsEmpty(_("A bill comes to more than zero. Enter what it charges, at least one part."))
    if due_on < billed_on:
        raise DueBeforeBilled(_("A bill is not due before its own day. Check both days."))
    if Bill.objects.filter(supplier=supplier, reference=reference, reversed_on=None).exists():
        raise _already_recorded(supplier, reference)
    owed = Posting("payable", -total, subject=subject_of(supplier.pk))
    try:
        with transaction.atomic():
            entry = books.post_entry(
                source=_source(supplier, reference),
                purpose="bill",
                posted_on=billed_on,
                season_id=season_id,
                memo=_("Bill %(reference)s of %(supplier)s") % {"reference": reference, "supplier": supplier.name},
                postings=[Posting(part.account, part.cents, part.subject, part.description) for part in parts] + [owed],
                actor=actor,
            )
            bill = Bill.objects.create(
                season_id=season_id,
                supplier=supplier,
                reference=reference,
                billed_on=billed_on,
                due_on=due_on,
                total_cents=total,
                entry=entry,
                recorded_by=actor,
            )
    except (books.AlreadyPosted, IntegrityError):
        raise _already_recorded(supplier, reference) from None
    accounts = Account.objects.in_bulk({part.account for part in parts}, field_name="key")
    BillLine.objects.bulk_create(
        BillLine(
            bill=bill,
            account=accounts[part.account],
            description=part.description,
            cents=part.cents,
            subject=part.subject,
        )
        for part in parts
    )
    once.settle(claimed, reverse("costs:bill", args=[bill.pk]))
    return bill


def subject_of(supplier_id: int) -> str:
    """How the books name what is owed to a supplier."""
    return str(Ref("supplier", str(supplier_id)))


def _source(supplier: Supplier, reference: str) -> str:
    """ "bill:3/H-42"; recorded anew after a reversal, "bill:3/H-42/2"."""
    before = Bill.objects.filter(supplier=supplier, reference=reference).count()
    again = f"/{before + 1}" if before else ""
    return str(Ref("bill", f"{supplier.pk}/{'_'.join(reference.split())}{again}"))


def _already_recorded(supplier: Supplier, reference: str) -> BillAlreadyRecorded:
    message = _("Bill %(reference)s of %(supplier)s is already recorded. Look for it among the bills.")
    return BillAlreadyRecorded(message % {"reference": reference, "supplier": supplier.name})


class BillIsPaid(RuleBroken):
    pass


class BillIsReversed(RuleBroken):
    pass


class BillCameWithGoods(RuleBroken):
    pass


@transaction.atomic
def reverse_bill(
    *, bill_id: int, reversed_on: date, reason: str, actor: User | None, once_key: UUID | None = None
) -> Bill:
    """Take a wrongly recorded bill back, with its mirror entry on an open day.

    Raises BillIsReversed, BillIsPaid, BillCameWithGoods (goods in stock still stand at its cost), NoPeriod,
    PeriodLocked.
    """
    claimed = once.claim(once_key, "bill reversal")
    bill = Bill.objects.select_for_update(no_key=True).get(pk=bill_id)
    if bill.reversed_on:
        raise BillIsReversed(_("This bill is already reversed."))
    if bill.paid_cents:
        raise BillIsPaid(_("Something is paid on this bill. Reverse its payments first."))
    if bill.lines.filter(subject__startswith=LOT_SUBJECT).exists():
        message = _("This bill came with goods that stand in stock at its cost. Write an entry for the difference.")
        raise BillCameWithGoods(message)
    memo = _("Reversed: %(reason)s") % {"reason": reason}
    books.reverse_entry(entry_id=bill.entry_id, reversed_on=reversed_on, memo=memo, actor=actor)
    bill.reversed_on = reversed_on
    bill.save(update_fields=["reversed_on"])
    once.settle(claimed, reverse("costs:bill", args=[bill.pk]))
    return bill
