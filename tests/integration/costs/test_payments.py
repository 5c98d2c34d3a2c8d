"""Payments: never more than is owed, and a mistaken one is taken back."""

from datetime import date
from uuid import UUID

import pytest
from django.db import IntegrityError, transaction

from apiary_ops.books import queries as books
from apiary_ops.core.once import AlreadyDone
from apiary_ops.costs import services
from apiary_ops.costs.models import Bill, BillPayment

pytestmark = pytest.mark.django_db

DAY = date(2027, 3, 20)


@pytest.fixture
def pay(keeper):
    def pay(bill, cents, **changes):
        values = {"bill_id": bill.pk, "paid_on": DAY, "cents": cents, "paid_from": "bank", "actor": keeper}
        return services.pay_bill(**values | changes)

    return pay


def paid(bill):
    return Bill.objects.get(pk=bill.pk).paid_cents


def test_a_bill_is_paid_in_parts_from_bank_and_cash(record, pay):
    bill = record()

    pay(bill, 100_00)
    pay(bill, 30_00, paid_from="cash")

    assert paid(bill) == 130_00
    assert books.balance("payable", subject=f"supplier:{bill.supplier_id}") == 0
    assert (books.balance("bank"), books.balance("cash")) == (-100_00, -30_00)


def test_more_than_is_owed_is_refused(record, pay):
    bill = record()
    pay(bill, 100_00)

    with pytest.raises(services.Overpaid, match="Only 30.00 CAD is owed on this bill"):
        pay(bill, 30_01)


def test_a_reversed_bill_is_not_paid(record, pay, keeper):
    bill = record()
    services.reverse_bill(bill_id=bill.pk, reversed_on=DAY, reason="Wrong", actor=keeper)

    with pytest.raises(services.BillIsReversed):
        pay(bill, 1)


def test_a_payment_sent_twice_is_made_once(record, pay):
    bill = record()
    pay(bill, 10_00, once_key=UUID(int=3))

    with pytest.raises(AlreadyDone):
        pay(bill, 10_00, once_key=UUID(int=3))

    assert paid(bill) == 10_00


def test_a_payment_made_by_mistake_is_taken_back_and_the_bill_owed_again(record, pay, keeper):
    bill = record()
    payment = pay(bill, 100_00)

    services.reverse_payment(payment_id=payment.pk, reversed_on=DAY, reason="Other bill", actor=keeper)

    assert paid(bill) == 0
    assert books.balance("payable") == -130_00
    assert books.balance("bank") == 0
    with pytest.raises(services.PaymentIsReversed):
        services.reverse_payment(payment_id=payment.pk, reversed_on=DAY, reason="Again", actor=keeper)
    pay(bill, 130_00)
    assert paid(bill) == 130_00


def test_the_database_keeps_what_is_paid_and_refuses_too_much(record, pay):
    bill = record()
    other = record(reference="H-43")
    payment = pay(bill, 100_00)

    with pytest.raises(IntegrityError), transaction.atomic():
        BillPayment.objects.create(bill=bill, paid_on=DAY, cents=30_01, paid_from="bank", entry=other.entry)
    with pytest.raises(IntegrityError, match="never changes"), transaction.atomic():
        BillPayment.objects.filter(pk=payment.pk).update(cents=1)
    with pytest.raises(IntegrityError, match="never deleted"), transaction.atomic():
        BillPayment.objects.all()._raw_delete(using="default")
    with pytest.raises(IntegrityError), transaction.atomic():
        Bill.objects.filter(pk=bill.pk).update(reversed_on=DAY)
