"""Queens leaving the bank carry their landed cost along, to the cent."""

from datetime import date
from uuid import uuid4

import pytest
from django.db import IntegrityError, transaction

from apiary_ops.books import queries as books
from apiary_ops.core.once import AlreadyDone
from apiary_ops.queens import queries, services
from apiary_ops.queens.models import QueenMove
from tests.factories.people import UserFactory
from tests.factories.queens import QueenOrderFactory, received_lot

pytestmark = pytest.mark.django_db

DAY = date(2027, 5, 5)


@pytest.fixture
def owner():
    return UserFactory()


@pytest.fixture
def lot():
    """Three live queens that cost 100.00 together."""
    return received_lot(QueenOrderFactory(queens=3, unit_price_cents=33_00), received=3, freight_cents=1_00)


def take(lot, queens, owner, source="batch:1", on=DAY):
    return services.take_queens(lot_id=lot.pk, queens=queens, on=on, source=source, actor=owner)


def test_queens_move_from_hand_into_nucs_at_landed_cost(lot, owner):
    move = take(lot, 2, owner)

    lot.refresh_from_db()
    assert (move.cost_cents, lot.introduced, lot.banked) == (66_67, 2, 1)
    assert books.balance("queens-on-hand", subject="lot:2027-Q01") == 33_33
    assert books.balance("nucs-in-hand", subject="batch:1") == 66_67


def test_the_last_queen_takes_the_last_cent(lot, owner):
    costs = [take(lot, 1, owner, source=f"batch:{number}").cost_cents for number in (1, 2, 3)]

    assert costs == [33_34, 33_33, 33_33]
    assert books.balance("queens-on-hand") == 0
    assert books.balance("nucs-in-hand") == 100_00


def test_more_queens_than_live_are_refused_and_nothing_moves(lot, owner):
    with pytest.raises(services.QueensNotThere) as refusal:
        take(lot, 4, owner)

    assert str(refusal.value) == (
        "Lot 2027-Q01 has 3 live queens left and 4 were asked for. Take fewer, or another lot."
    )
    assert books.balance("nucs-in-hand") == 0


def test_a_source_takes_from_a_lot_once(lot, owner):
    take(lot, 1, owner)

    with pytest.raises(services.AlreadyTaken, match="nothing was taken twice"):
        take(lot, 1, owner)

    assert books.balance("nucs-in-hand") == 33_34


def test_queens_do_not_move_before_they_landed(lot, owner):
    with pytest.raises(services.NotLandedYet, match="Lot 2027-Q01 had not landed by that day"):
        take(lot, 1, owner, on=date(2027, 5, 2))


def test_nothing_is_not_taken(lot, owner):
    with pytest.raises(services.NothingTaken, match="at least one queen"):
        take(lot, 0, owner)


def test_a_death_in_the_bank_is_a_loss_of_the_period(lot, owner):
    move = services.record_dead_queens(lot_id=lot.pk, queens=1, on=DAY, actor=owner)

    lot.refresh_from_db()
    assert (move.kind, move.cost_cents, lot.dead, lot.banked) == ("dead", 33_34, 1, 2)
    assert books.balance("queen-losses", subject="lot:2027-Q01") == 33_34
    assert books.balance("queens-on-hand") == 66_66


def test_deaths_are_counted_again_on_the_same_day(lot, owner):
    first = services.record_dead_queens(lot_id=lot.pk, queens=1, on=DAY, actor=owner)
    second = services.record_dead_queens(lot_id=lot.pk, queens=1, on=DAY, actor=owner)

    assert [first.source, second.source] == ["bank-count:2027-Q01-1", "bank-count:2027-Q01-2"]


def test_a_count_sent_twice_is_recorded_once(lot, owner):
    key = uuid4()
    services.record_dead_queens(lot_id=lot.pk, queens=1, on=DAY, actor=owner, once_key=key)

    with pytest.raises(AlreadyDone):
        services.record_dead_queens(lot_id=lot.pk, queens=1, on=DAY, actor=owner, once_key=key)

    lot.refresh_from_db()
    assert lot.dead == 1


def test_queens_that_cost_less_than_a_cent_post_nothing(owner):
    lot = received_lot(QueenOrderFactory(queens=3, unit_price_cents=0), received=3, freight_cents=1)

    costs = [take(lot, 1, owner, source=f"batch:{number}").cost_cents for number in (1, 2, 3)]

    assert costs == [1, 0, 0]
    assert QueenMove.objects.filter(entry__isnull=True).count() == 2


def test_a_move_never_changes(lot, owner):
    move = take(lot, 1, owner)

    with pytest.raises(IntegrityError, match="never changes"), transaction.atomic():
        QueenMove.objects.filter(pk=move.pk).update(queens=2)
    with pytest.raises(IntegrityError, match="never changes"), transaction.atomic():
        move.delete()


def test_the_database_itself_refuses_a_queen_too_many(lot, owner):
    with pytest.raises(IntegrityError), transaction.atomic():
        QueenMove.objects.create(
            lot=lot, kind="dead", queens=4, on=DAY, cost_cents=0, source="bank-count:x", recorded_by=owner
        )


def test_the_database_itself_refuses_a_move_before_landing(lot, owner):
    with pytest.raises(IntegrityError, match="before they landed"), transaction.atomic():
        QueenMove.objects.create(
            lot=lot, kind="dead", queens=1, on=date(2027, 5, 2), cost_cents=0, source="bank-count:x", recorded_by=owner
        )


def test_a_lot_shows_its_bill_and_what_its_moves_posted(lot, owner):
    take(lot, 1, owner)

    rows = [(line.account.key, line.cents) for line in queries.postings(lot)]

    assert rows == [
        ("queens-on-hand", 100_00),
        ("payable", -100_00),
        ("nucs-in-hand", 33_34),
        ("queens-on-hand", -33_34),
    ]
