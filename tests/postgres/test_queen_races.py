"""Two people after the last queens of a lot, and two receipts of one order: a holder and a waiter each."""

from datetime import date

import pytest

from apiary_ops.books import queries as books
from apiary_ops.queens import services
from apiary_ops.queens.models import Lot
from tests.factories.people import UserFactory
from tests.factories.queens import QueenOrderFactory, received_lot
from tests.postgres.racing import race

pytestmark = [pytest.mark.postgres, pytest.mark.django_db(transaction=True)]

DAY = date(2027, 5, 5)


@pytest.fixture
def owner():
    return UserFactory()


def take(lot, owner, source, queens=1):
    return services.take_queens(lot_id=lot.pk, queens=queens, on=DAY, source=source, actor=owner)


def test_the_last_queen_of_a_lot_goes_into_one_nuc(owner):
    lot = received_lot(received=1)

    first, second = race(lambda: take(lot, owner, "nuc:2027-001"), lambda: take(lot, owner, "nuc:2027-002"))

    assert first.cost_cents == 48_00
    assert isinstance(second, services.QueensNotThere)
    assert str(second) == ("Lot 2027-Q01 has 0 live queens left and 1 were asked for. Take fewer, or another lot.")
    lot.refresh_from_db()
    assert (lot.introduced, lot.banked) == (1, 0)


def test_two_who_take_at_once_carry_away_different_cents(owner):
    lot = received_lot(QueenOrderFactory(queens=3, unit_price_cents=33_00), received=3, freight_cents=1_00)

    first, second = race(lambda: take(lot, owner, "nuc:2027-001"), lambda: take(lot, owner, "nuc:2027-002"))
    third = take(lot, owner, "nuc:2027-003")

    assert [move.cost_cents for move in (first, second, third)] == [33_34, 33_33, 33_33]
    assert books.balance("queens-on-hand") == 0


def test_a_queen_found_dead_while_another_takes_her_is_counted_once(owner):
    lot = received_lot(received=1)

    first, second = race(
        lambda: services.record_dead_queens(lot_id=lot.pk, queens=1, on=DAY, actor=owner),
        lambda: take(lot, owner, "nuc:2027-001"),
    )

    assert first.kind == "dead"
    assert isinstance(second, services.QueensNotThere)
    assert books.balance("nucs-in-hand") == 0


def test_two_receipts_of_one_order_do_not_exceed_it(owner):
    received_lot(received=1)  # opens the books
    order = QueenOrderFactory(queens=50)

    first, second = race(
        lambda: received_lot(order, received=30, reference="A", actor=owner),
        lambda: received_lot(order, received=30, reference="B", actor=owner),
    )

    assert first.received == 30
    assert isinstance(second, services.MoreThanOrdered)
    assert Lot.objects.filter(order=order).count() == 1


def test_two_lots_received_at_once_have_two_codes(owner):
    received_lot(received=1)
    orders = [QueenOrderFactory(), QueenOrderFactory()]

    lots = race(
        lambda: received_lot(orders[0], received=10, actor=owner),
        lambda: received_lot(orders[1], received=10, actor=owner),
    )

    assert [lot.code for lot in lots] == ["2027-Q02", "2027-Q03"]
