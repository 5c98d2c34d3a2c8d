"""Queens into nucs: a batch at once, or one by one."""

from datetime import date

import pytest

from apiary_ops.books import queries as books
from apiary_ops.nucs import services
from apiary_ops.queens.services import QueensNotThere
from tests.factories.nucs import made_batch
from tests.factories.people import UserFactory
from tests.factories.queens import QueenOrderFactory, received_lot

pytestmark = pytest.mark.django_db

DAY = date(2027, 5, 6)


@pytest.fixture
def owner():
    return UserFactory()


def fail(nuc, owner, on=date(2027, 5, 15)):
    services.record_check(nuc_id=nuc.pk, on=on, actor=owner, queen="missing")


def test_queens_go_into_a_batch_that_waits_for_them(owner):
    batch = made_batch(3, queened=False)
    lot = received_lot(received=10)

    services.introduce_queens(batch_id=batch.pk, lot_id=lot.pk, queen_in_on=DAY, actor=owner)

    batch.refresh_from_db()
    lot.refresh_from_db()
    assert (batch.queen_in_on, batch.lot, lot.introduced) == (DAY, lot, 3)
    assert set(batch.nucs.values_list("state", "queened_on", "queen_cost_cents")) == {("queened", DAY, 48_00)}
    assert books.balance("nucs-in-hand") == 144_00


def test_a_batch_gets_its_queens_once(owner):
    batch = made_batch(1)

    with pytest.raises(services.QueensAlreadyIn, match="Requeen single nucs"):
        services.introduce_queens(batch_id=batch.pk, lot_id=received_lot(received=5).pk, queen_in_on=DAY, actor=owner)


def test_a_nuc_lost_before_the_queens_came_takes_none(owner):
    batch = made_batch(2, queened=False)
    lost = batch.nucs.order_by("number").first()
    services.end_nuc(nuc_id=lost.pk, state="lost", on=date(2027, 5, 5), cause="robbed out", actor=owner)
    lot = received_lot(received=5)

    services.introduce_queens(batch_id=batch.pk, lot_id=lot.pk, queen_in_on=DAY, actor=owner)

    lot.refresh_from_db()
    assert lot.introduced == 1


def test_queens_do_not_go_in_before_make_up(owner):
    batch = made_batch(1, queened=False)

    with pytest.raises(services.QueenTooEarly, match="on the day of make-up or later"):
        services.introduce_queens(
            batch_id=batch.pk, lot_id=received_lot(received=5).pk, queen_in_on=date(2027, 5, 3), actor=owner
        )


def test_a_nuc_whose_queen_failed_is_requeened_and_carries_both_costs(owner):
    nuc = made_batch(1).nucs.get()
    fail(nuc, owner)
    spares = received_lot(QueenOrderFactory(unit_price_cents=55_00), received=2)

    requeened = services.requeen(nuc_id=nuc.pk, lot_id=spares.pk, on=date(2027, 5, 16), actor=owner)

    assert (requeened.state, requeened.queened_on) == ("queened", date(2027, 5, 16))
    assert requeened.queen_cost_cents == 48_00 + 55_00
    assert books.balance("nucs-in-hand", subject=f"batch:{nuc.batch_id}") == 103_00


def test_a_nuc_may_be_requeened_again_from_the_same_lot(owner):
    nuc = made_batch(1).nucs.get()
    spares = received_lot(received=2)
    fail(nuc, owner)
    services.requeen(nuc_id=nuc.pk, lot_id=spares.pk, on=date(2027, 5, 16), actor=owner)
    fail(nuc, owner, on=date(2027, 5, 24))

    services.requeen(nuc_id=nuc.pk, lot_id=spares.pk, on=date(2027, 5, 25), actor=owner)

    assert list(spares.moves.order_by("id").values_list("source", flat=True)) == ["nuc:2027-001", "nuc:2027-001-2"]


def test_a_nuc_with_a_queen_is_not_requeened(owner):
    nuc = made_batch(1).nucs.get()

    with pytest.raises(services.NucHasAQueen) as refusal:
        services.requeen(nuc_id=nuc.pk, lot_id=received_lot(received=1).pk, on=DAY, actor=owner)

    assert str(refusal.value) == "Nuc 1 has a queen as far as is known. Record first that she failed."


def test_a_nuc_that_left_is_not_requeened(owner):
    nuc = made_batch(1).nucs.get()
    services.end_nuc(nuc_id=nuc.pk, state="lost", on=date(2027, 5, 12), cause="robbed out", actor=owner)

    with pytest.raises(services.NucHasLeft, match="Nuc 1 has left: it is lost"):
        services.requeen(nuc_id=nuc.pk, lot_id=received_lot(received=1).pk, on=date(2027, 5, 13), actor=owner)


def test_a_spare_that_is_not_there_leaves_the_nuc_as_it_was(owner):
    batch = made_batch(1)
    nuc = batch.nucs.get()
    fail(nuc, owner)

    with pytest.raises(QueensNotThere):
        services.requeen(nuc_id=nuc.pk, lot_id=batch.lot_id, on=date(2027, 5, 16), actor=owner)

    nuc.refresh_from_db()
    assert (nuc.state, nuc.queen_cost_cents) == ("failed", 48_00)
