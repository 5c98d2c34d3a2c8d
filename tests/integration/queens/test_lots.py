"""Queens received: counted, banked, and in the books at landed cost."""

from datetime import date
from uuid import uuid4

import pytest
from django.db import IntegrityError, transaction

from apiary_ops.books import queries as books
from apiary_ops.core.once import AlreadyDone
from apiary_ops.queens import queries, services
from apiary_ops.queens.models import Lot
from tests.factories.people import UserFactory
from tests.factories.queens import QueenOrderFactory, received_lot

pytestmark = pytest.mark.django_db


def test_a_lot_stands_in_the_books_at_landed_cost():
    lot = received_lot(received=100, dead_on_arrival=3, freight_cents=100_00, papers_cents=20_00)

    assert (lot.code, lot.banked, lot.hive_by) == ("2027-Q01", 97, date(2027, 5, 10))
    assert lot.landed_cents == 4920_00
    assert books.balance("queens-on-hand", subject="lot:2027-Q01") == 4920_00
    assert books.balance("payable") == -4920_00
    assert books.balance("queen-losses") == 0


def test_deaths_beyond_the_ordinary_are_the_periods():
    lot = received_lot(received=100, dead_on_arrival=5, freight_cents=120_00)

    assert lot.landed_cents == 4818_56
    assert books.balance("queens-on-hand") == 4818_56
    assert books.balance("queen-losses", subject="lot:2027-Q01") == 101_44
    assert lot.bill.total_cents == 4920_00


def test_a_lot_that_arrived_dead_leaves_nothing_in_the_bank():
    lot = received_lot(received=10, dead_on_arrival=10)

    assert (lot.banked, lot.landed_cents) == (0, 0)
    assert books.balance("queen-losses") == 480_00


def test_an_order_comes_in_parts():
    order = QueenOrderFactory(queens=50)

    first = received_lot(order, received=30)
    second = received_lot(order, received=20, received_on=date(2027, 5, 12))

    order.refresh_from_db()
    assert order.received_queens == 50
    assert [first.code, second.code] == ["2027-Q01", "2027-Q02"]
    assert queries.due_total(order.season_id) == 0


def test_more_than_was_ordered_is_refused_and_nothing_is_posted():
    order = QueenOrderFactory(queens=50)
    received_lot(order, received=30)

    with pytest.raises(services.MoreThanOrdered) as refusal:
        received_lot(order, received=21)

    assert str(refusal.value) == (
        "20 queens of this order are still to come. Enter 1 to that many, or raise the order first."
    )
    assert books.balance("payable") == -1440_00


def test_more_dead_than_arrived_is_refused():
    with pytest.raises(services.MoreDeadThanArrived, match="Count again"):
        received_lot(received=10, dead_on_arrival=11)


def test_queens_do_not_arrive_before_they_were_ordered():
    with pytest.raises(services.ReceivedTooEarly, match="before they were ordered"):
        received_lot(received=10, received_on=date(2026, 11, 30))


def test_a_lot_that_costs_nothing_needs_its_price():
    order = QueenOrderFactory(queens=10, unit_price_cents=0)

    with pytest.raises(services.NothingToPay, match="Enter the price on the order"):
        received_lot(order, received=10)


def test_a_cancelled_order_receives_nothing():
    order = QueenOrderFactory(queens=10)
    services.cancel_queen_order(order_id=order.pk, on=date(2027, 1, 1), actor=UserFactory())

    with pytest.raises(services.OrderWasCancelled):
        received_lot(order, received=10)


def test_a_receipt_sent_twice_is_one_lot():
    key = uuid4()
    order = QueenOrderFactory(queens=50)
    received_lot(order, received=20, once_key=key)

    with pytest.raises(AlreadyDone) as again:
        received_lot(order, received=20, once_key=key)

    assert again.value.result == "/queens/lots/2027-Q01/"
    assert Lot.objects.count() == 1


def test_a_lot_stays_as_it_was_received():
    lot = received_lot(received=10)

    with pytest.raises(IntegrityError, match="only its queens move"), transaction.atomic():
        Lot.objects.filter(pk=lot.pk).update(landed_cents=1)
    with pytest.raises(IntegrityError, match="never deleted"), transaction.atomic():
        lot.delete()


def test_the_season_counts_every_queen_it_received():
    actor = UserFactory()
    lot = received_lot(received=50, dead_on_arrival=2)
    services.take_queens(lot_id=lot.pk, queens=20, on=date(2027, 5, 5), source="batch:1", actor=actor)
    services.record_dead_queens(lot_id=lot.pk, queens=1, on=date(2027, 5, 6), actor=actor)

    tally = queries.tally(lot.season_id)

    assert (tally.received, tally.landed, tally.introduced, tally.dead, tally.banked) == (50, 48, 20, 1, 27)
    assert queries.landed_total(lot.season_id) == 48
