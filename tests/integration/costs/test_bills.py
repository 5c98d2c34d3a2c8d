"""Bills: each part to its account, the total owed to the supplier, once."""

from datetime import date
from uuid import UUID

import pytest
from django.db import IntegrityError, transaction

from apiary_ops.books import queries as books
from apiary_ops.books.services import PeriodLocked, UnknownAccount, lock_period
from apiary_ops.core.once import AlreadyDone
from apiary_ops.costs import services
from apiary_ops.costs.models import Bill, BillLine
from apiary_ops.costs.services import BillPart
from tests.factories.books import PeriodFactory

pytestmark = pytest.mark.django_db


def test_a_bill_is_charged_part_by_part_and_owed_to_its_supplier(record, keeper):
    bill = record()

    assert books.balance("spring-feed") == 100_00
    assert books.balance("office") == 30_00
    assert books.balance("payable", subject=f"supplier:{bill.supplier_id}") == -130_00
    assert (bill.total_cents, bill.owed_cents, bill.recorded_by) == (130_00, 130_00, keeper)
    assert [(line.account.key, line.cents, line.description) for line in bill.lines.order_by("pk")] == [
        ("spring-feed", 100_00, "Syrup"),
        ("office", 30_00, "Labels"),
    ]
    assert bill.entry.source == f"bill:{bill.supplier_id}/H-42"
    assert bill.entry.memo == "Bill H-42 of Harbour Feed"
    assert bill.entry.posted_on == date(2027, 3, 1)


def test_a_reduction_is_a_part_below_zero(record):
    bill = record(parts=[BillPart("spring-feed", 100_00, "Syrup"), BillPart("spring-feed", -5_00, "Discount")])

    assert bill.total_cents == 95_00
    assert books.balance("spring-feed") == 95_00


def test_a_part_says_whose_it_is(record):
    record(parts=[BillPart("queens-on-hand", 900_00, "Queens", subject="lot:2027-1")])

    assert books.balance("queens-on-hand", subject="lot:2027-1") == 900_00


@pytest.mark.parametrize("parts", [[], [BillPart("office", 0, "Nothing")], [BillPart("office", -5, "A credit")]])
def test_a_bill_of_nothing_is_refused(record, parts):
    with pytest.raises(services.BillIsEmpty, match="comes to more than zero"):
        record(parts=parts)


def test_a_bill_is_not_due_before_its_day(record):
    with pytest.raises(services.DueBeforeBilled):
        record(due_on=date(2027, 2, 28))


def test_a_bill_is_recorded_once(record):
    record()

    with pytest.raises(services.BillAlreadyRecorded, match="Bill H-42 of Harbour Feed is already recorded"):
        record()

    assert books.balance("payable") == -130_00


def test_a_number_that_differs_only_by_how_spaces_are_written_is_the_same_bill(record):
    record(reference="H 42")

    with pytest.raises(services.BillAlreadyRecorded):
        record(reference="H  42")


def test_an_account_the_chart_does_not_have_is_refused(record):
    with pytest.raises(UnknownAccount, match="honey"):
        record(parts=[BillPart("honey", 5, "?")])

    assert Bill.objects.count() == 0


def test_a_bill_of_a_locked_period_is_refused(record, keeper):
    lock_period(period_id=PeriodFactory().pk, actor=keeper)

    with pytest.raises(PeriodLocked):
        record()


def test_a_bill_sent_twice_is_recorded_once(record):
    record(once_key=UUID(int=1))

    with pytest.raises(AlreadyDone):
        record(once_key=UUID(int=1))

    assert Bill.objects.count() == 1


def test_a_wrong_bill_is_reversed_and_recorded_anew_under_its_number(record, keeper):
    bill = record()

    services.reverse_bill(bill_id=bill.pk, reversed_on=date(2027, 3, 2), reason="Wrong amounts", actor=keeper)
    again = record(parts=[BillPart("spring-feed", 120_00, "Syrup")])

    bill.refresh_from_db()
    assert (bill.reversed_on, bill.owed_cents) == (date(2027, 3, 2), 0)
    assert again.entry.source == f"bill:{bill.supplier_id}/H-42/2"
    assert books.balance("payable") == -120_00
    assert books.balance("spring-feed") == 120_00
    assert books.balance("office") == 0


def test_a_bill_is_reversed_once(record, keeper):
    bill = record()
    services.reverse_bill(bill_id=bill.pk, reversed_on=date(2027, 3, 2), reason="Wrong", actor=keeper)

    with pytest.raises(services.BillIsReversed):
        services.reverse_bill(bill_id=bill.pk, reversed_on=date(2027, 3, 2), reason="Wrong", actor=keeper)


def test_a_bill_on_which_something_is_paid_is_not_reversed(record, keeper):
    bill = record()
    services.pay_bill(bill_id=bill.pk, paid_on=date(2027, 3, 5), cents=1, paid_from="bank", actor=keeper)

    with pytest.raises(services.BillIsPaid, match="Reverse its payments first"):
        services.reverse_bill(bill_id=bill.pk, reversed_on=date(2027, 3, 6), reason="Wrong", actor=keeper)


def test_a_bill_whose_goods_stand_in_stock_is_not_reversed(record, keeper):
    bill = record(parts=[BillPart("queens-on-hand", 900_00, "Queens", subject="lot:2027-1")])

    with pytest.raises(services.BillCameWithGoods):
        services.reverse_bill(bill_id=bill.pk, reversed_on=date(2027, 3, 6), reason="Wrong", actor=keeper)


@pytest.mark.parametrize(
    "change", [{"total_cents": 1}, {"reference": "X"}, {"due_on": date(2028, 1, 1)}, {"paid_cents": 130_01}]
)
def test_the_database_lets_no_one_change_a_bill(record, change):
    record()

    with pytest.raises(IntegrityError), transaction.atomic():
        Bill.objects.update(**change)


def test_the_database_lets_no_one_change_or_delete_a_part_or_a_bill(record):
    record()

    for forbidden in (
        lambda: BillLine.objects.update(cents=1),
        lambda: BillLine.objects.all()._raw_delete(using="default"),
        lambda: Bill.objects.all()._raw_delete(using="default"),
    ):
        with pytest.raises(IntegrityError, match="never"), transaction.atomic():
            forbidden()
