"""Queens asked of breeders."""

from datetime import date

import pytest
from django.db import IntegrityError, transaction

from apiary_ops.core.versions import StaleRecord
from apiary_ops.queens import queries, services
from tests.factories.business import SeasonFactory
from tests.factories.costs import SupplierFactory
from tests.factories.people import UserFactory
from tests.factories.queens import QueenOrderFactory, received_lot

pytestmark = pytest.mark.django_db


@pytest.fixture
def owner():
    return UserFactory()


def ask(owner, **values):
    season = SeasonFactory()
    breeder = values.pop("supplier", None) or SupplierFactory(breeder=True)
    defaults = {
        "queens": 50,
        "unit_price_cents": 4800,
        "ship_week": date(2027, 5, 5),
        "ordered_on": date(2026, 12, 1),
        "cancel_by": date(2027, 3, 15),
    }
    return services.order_queens(season_id=season.pk, supplier_id=breeder.pk, actor=owner, **{**defaults, **values})


def test_queens_are_ordered_for_a_week_from_monday(owner):
    order = ask(owner)

    assert (order.queens, order.unit_price_cents, order.ship_week) == (50, 4800, date(2027, 5, 3))
    assert order.history.get().history_user == owner
    assert queries.due_total(order.season_id) == 50


def test_only_a_breeder_is_asked_for_queens(owner):
    feed_store = SupplierFactory(name="Hill Feed")

    with pytest.raises(services.NotABreeder) as refusal:
        ask(owner, supplier=feed_store)

    assert str(refusal.value) == (
        "Hill Feed is not marked as breeding queens. Mark it under Suppliers, or choose a breeder."
    )


@pytest.mark.parametrize("queens", [0, -5, 10_001])
def test_an_order_asks_for_queens(owner, queens):
    with pytest.raises(services.NoQueensAsked, match="Order from 1 to 10,000 queens"):
        ask(owner, queens=queens)


def test_queens_cannot_ship_before_they_are_ordered(owner):
    with pytest.raises(services.ShipsTooEarly, match="lies before the order"):
        ask(owner, ship_week=date(2026, 11, 23))


def test_an_order_is_raised_and_moved(owner):
    order = ask(owner)

    changed = services.edit_queen_order(
        order_id=order.pk, version=1, changes={"queens": 60, "ship_week": date(2027, 5, 12)}, actor=owner
    )

    assert (changed.queens, changed.ship_week, changed.version) == (60, date(2027, 5, 10), 2)
    assert order.history.count() == 2


def test_a_stale_form_does_not_overwrite_an_order(owner):
    order = ask(owner)
    services.edit_queen_order(order_id=order.pk, version=1, changes={"queens": 60}, actor=owner)

    with pytest.raises(StaleRecord):
        services.edit_queen_order(order_id=order.pk, version=1, changes={"queens": 70}, actor=owner)

    order.refresh_from_db()
    assert order.queens == 60


def test_an_order_cannot_shrink_below_what_has_come(owner):
    lot = received_lot(received=30)

    with pytest.raises(services.FewerThanReceived) as refusal:
        services.edit_queen_order(order_id=lot.order_id, version=1, changes={"queens": 29}, actor=owner)

    assert str(refusal.value) == "30 of these queens have come already. Order at least as many."


def test_of_a_cancelled_order_nothing_more_is_due(owner):
    order = QueenOrderFactory(queens=50)
    received_lot(order, received=20)

    cancelled = services.cancel_queen_order(order_id=order.pk, on=date(2027, 5, 10), actor=owner)

    assert cancelled.cancelled_on == date(2027, 5, 10)
    assert queries.due_total(order.season_id) == 0
    assert queries.banked_total(order.season_id) == 20
    with pytest.raises(services.OrderWasCancelled, match="Place a new one"):
        services.cancel_queen_order(order_id=order.pk, on=date(2027, 5, 11), actor=owner)


def test_an_order_that_has_come_is_not_cancelled(owner):
    lot = received_lot(received=20)

    with pytest.raises(services.AllReceived, match="nothing left to cancel"):
        services.cancel_queen_order(order_id=lot.order_id, on=date(2027, 5, 10), actor=owner)


def test_the_next_last_cancel_date_is_the_earliest_still_open(owner):
    later = ask(owner, cancel_by=date(2027, 4, 1))
    sooner = ask(owner, cancel_by=date(2027, 3, 1))

    assert queries.next_cancel(later.season_id, date(2027, 2, 1)) == sooner
    assert queries.next_cancel(later.season_id, date(2027, 3, 2)) == later
    assert queries.next_cancel(later.season_id, date(2027, 4, 2)) is None


def test_the_database_keeps_an_order():
    order = QueenOrderFactory()

    with pytest.raises(IntegrityError, match="never deleted"), transaction.atomic():
        order.delete()
