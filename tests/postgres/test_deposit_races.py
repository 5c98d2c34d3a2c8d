"""Two clerks on one deposit, one form sent twice, invoices issued side by side: a holder and a waiter each."""

from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, date, datetime
from uuid import uuid4

import pytest
from django.db import connection, transaction

from apiary_ops.billing import queries, services
from apiary_ops.billing.models import DepositMove, Invoice, Receipt
from apiary_ops.books import queries as books
from apiary_ops.business import stamps
from apiary_ops.core.once import AlreadyDone
from apiary_ops.orders import services as order_services
from apiary_ops.orders.models import Order
from apiary_ops.promise.services import promise_line
from tests.factories.billing import open_books, order_of
from tests.factories.orders import PriceFactory
from tests.factories.people import UserFactory
from tests.postgres.racing import race

pytestmark = [pytest.mark.postgres, pytest.mark.django_db(transaction=True)]

DAY = date(2027, 1, 15)


@pytest.fixture
def clerk():
    open_books()
    return UserFactory(office=True)


def take(order, clerk, cents=15000, once_key=None):
    return services.take_deposit(
        order_id=order.pk,
        cents=cents,
        received_on=DAY,
        received_at=datetime(2027, 1, 15, 12, tzinfo=UTC),
        method="transfer",
        actor=clerk,
        once_key=once_key,
    )


def refund(order, clerk, cents):
    return services.refund_deposit(order_id=order.pk, cents=cents, on=DAY, method="transfer", reason="", actor=clerk)


def invoice(order, clerk, source):
    return services.issue_invoice(
        order_id=order.pk,
        source=source,
        supplied_on=DAY,
        issued_on=DAY,
        quantities={order.lines.get().pk: 1},
        actor=clerk,
    )


def test_two_clerks_cannot_give_back_the_same_deposit_twice(clerk):
    order = order_of(2)
    take(order, clerk)

    first, second = race(lambda: refund(order, clerk, 10000), lambda: refund(order, clerk, 10000))

    assert isinstance(first, DepositMove)
    assert isinstance(second, services.MoreThanHeld)
    assert str(second) == "Only 50.00 CAD of this deposit is still held. Enter that or less."
    assert queries.deposit_of(order).held_cents == 5000
    assert books.balance("deposits-held") == -5000


def test_a_deposit_is_not_given_back_while_it_is_used_for_nucs(clerk):
    order = order_of(1)
    take(order, clerk, 7500)

    paper, second = race(lambda: invoice(order, clerk, "hand-over:1"), lambda: refund(order, clerk, 7500))

    assert paper.deposit_cents == 7500
    assert isinstance(second, services.MoreThanHeld)


def test_who_takes_money_waits_for_the_stamp_before_holding_the_order(clerk):
    # Deciders hold the stamp and then lock orders: the other way round, each would wait for the other for ever.
    order = order_of(2)
    acts = [
        lambda: take(order, clerk),
        lambda: refund(order, clerk, 100),
        lambda: invoice(order, clerk, "hand-over:1"),
        lambda: order_services.move_line(line_id=order.lines.get().pk, to_state="waiting", actor=clerk),
        lambda: promise_line(line_id=order.lines.get().pk, today=DAY, actor=clerk),
        lambda: services.cancel_line(
            line_id=order.lines.get().pk, on=DAY, at=datetime(2027, 1, 15, tzinfo=UTC), reason="", actor=clerk
        ),
    ]

    for act in acts:
        outcomes = race(
            lambda: stamps.lock(order.season_id, ["orders"]),
            act,
            then=lambda: Order.objects.select_for_update(no_key=True, nowait=True).get(pk=order.pk),
        )

        assert not [outcome for outcome in outcomes if isinstance(outcome, BaseException)]


def test_the_first_deposit_of_an_order_taken_by_two_clerks_makes_one_deposit(clerk):
    order = order_of(2)

    first, second = race(lambda: take(order, clerk, 7500), lambda: take(order, clerk, 7500))

    assert [first.number, second.number] == ["R2027-00001", "R2027-00002"]
    assert queries.deposit_of(order).taken_cents == 15000


def test_a_double_click_takes_one_deposit(clerk):
    order, key = order_of(2), uuid4()

    first, second = race(lambda: take(order, clerk, once_key=key), lambda: take(order, clerk, once_key=key))

    assert isinstance(second, AlreadyDone)
    assert second.result == f"/billing/receipts/{first.number}/"
    assert Receipt.objects.count() == 1


def test_invoices_issued_side_by_side_have_no_gap_and_no_twin(clerk):
    orders = [order_of(1), order_of(1)]

    papers = race(lambda: invoice(orders[0], clerk, "hand-over:1"), lambda: invoice(orders[1], clerk, "hand-over:2"))

    assert [paper.serial for paper in papers] == [1, 2]


def test_a_number_of_an_invoice_that_was_rolled_back_goes_to_the_next(clerk):
    orders = [order_of(1), order_of(1)]

    def issue_and_fail():
        invoice(orders[0], clerk, "hand-over:1")
        transaction.set_rollback(True)

    _, paper = race(issue_and_fail, lambda: invoice(orders[1], clerk, "hand-over:2"))

    assert paper.serial == 1
    assert Invoice.objects.count() == 1


def test_many_clerks_at_once_number_their_invoices_without_gaps(clerk):
    orders = [order_of(1) for _ in range(12)]

    def issue(number):
        try:
            return invoice(orders[number], clerk, f"hand-over:{number}").serial
        finally:
            connection.close()

    with ThreadPoolExecutor(4) as pool:
        serials = list(pool.map(issue, range(12)))

    assert sorted(serials) == list(range(1, 13))


def test_two_clerks_take_an_order_at_once_and_get_two_numbers(clerk):
    line = order_of(1).lines.get()
    PriceFactory(season=line.order.season, kind=line.kind, tax_category=line.tax_category)

    def place():
        return order_services.place_order(
            season_id=line.order.season_id,
            buyer_id=line.order.buyer_id,
            placed_on=DAY,
            lines=[order_services.LineDraft(line.kind_id, 1, line.round_id)],
            actor=clerk,
        )

    first, second = race(place, place)

    assert len({first.number, second.number}) == 2
    assert Order.objects.count() == 3
