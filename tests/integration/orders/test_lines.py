"""A line moves along its path and no other, and what was promised stands."""

from datetime import UTC, date, datetime

import pytest
from django.db import IntegrityError, transaction

from apiary_ops.orders import queries, services
from apiary_ops.orders.models import Line
from tests.factories.orders import LineFactory, OrderFactory
from tests.factories.people import UserFactory
from tests.factories.promise import make_room

pytestmark = pytest.mark.django_db

DAY = date(2027, 3, 4)


@pytest.fixture
def clerk():
    return UserFactory(office=True)


def test_cancelling_a_line_asks_less_deposit_and_keeps_the_reason(clerk):
    order = OrderFactory(deposit_due_cents=37500)
    line = LineFactory(order=order, quantity=2)
    LineFactory(order=order, quantity=3)

    services.cancel_line(line_id=line.pk, on=DAY, reason="moved away", actor=clerk)

    line.refresh_from_db()
    order.refresh_from_db()
    assert line.state == Line.State.CANCELLED
    assert order.deposit_due_cents == 22500
    assert queries.cancel_reasons(order) == {line.pk: "Thu 4 Mar 2027: moved away"}


def test_what_was_collected_before_a_cancellation_still_counts(clerk):
    order = OrderFactory(deposit_due_cents=30000)
    line = LineFactory(order=order, quantity=4, collected=1, state="part collected")

    services.cancel_line(line_id=line.pk, on=DAY, reason="no room", actor=clerk)

    order.refresh_from_db()
    assert order.deposit_due_cents == 7500


@pytest.mark.parametrize("state", ["cancelled", "collected"])
def test_nothing_is_left_to_cancel(clerk, state):
    line = LineFactory(state=state)

    with pytest.raises(services.NothingToCancel, match=f"This line is {state}"):
        services.cancel_line(line_id=line.pk, on=DAY, reason="", actor=clerk)


def test_a_line_moves_along_its_path(clerk):
    line = LineFactory()
    make_room(line.round, line.kind)

    for state in ("waiting", "promised", "waiting", "promised", "part collected", "collected"):
        services.move_line(line_id=line.pk, to_state=state, actor=clerk)

    line.refresh_from_db()
    assert line.state == "collected"
    assert line.history.first().history_user == clerk


def test_a_lapsed_line_asks_no_deposit_until_it_is_taken_back(clerk):
    line = LineFactory(quantity=2)
    line.order.deposit_due_cents = 15000
    line.order.save()

    services.move_line(line_id=line.pk, to_state="lapsed", actor=clerk)
    line.order.refresh_from_db()
    lapsed = line.order.deposit_due_cents
    services.move_line(line_id=line.pk, to_state="waiting", actor=clerk)
    line.order.refresh_from_db()

    assert (lapsed, line.order.deposit_due_cents) == (0, 15000)


def test_a_step_off_the_path_is_refused(clerk):
    line = LineFactory(state="cancelled")

    with pytest.raises(services.LineCannotMove, match="A line that is cancelled cannot become promised."):
        services.move_line(line_id=line.pk, to_state="promised", actor=clerk)


@pytest.mark.parametrize("start", Line.State.values)
def test_the_database_keeps_every_path(start):
    line = LineFactory(state=start)
    make_room(line.round, line.kind)

    for end in Line.State.values:
        if end == start:
            continue
        if end in Line.PATHS[start]:
            with transaction.atomic():
                Line.objects.filter(pk=line.pk).update(state=end)
                transaction.set_rollback(True)
        else:
            with pytest.raises(IntegrityError, match="cannot move"), transaction.atomic():
                Line.objects.filter(pk=line.pk).update(state=end)


@pytest.mark.parametrize("change", [{"quantity": 3}, {"price_cents": 1}])
def test_what_was_promised_keeps_its_number_and_price(change):
    line = LineFactory(state="promised")

    with pytest.raises(IntegrityError, match="keeps its kind, number and price"), transaction.atomic():
        Line.objects.filter(pk=line.pk).update(**change)


def test_what_was_only_asked_may_still_change():
    line = LineFactory()

    Line.objects.filter(pk=line.pk).update(quantity=3, price_cents=28000)

    line.refresh_from_db()
    assert (line.quantity, line.price_cents) == (3, 28000)


def test_orders_and_lines_are_never_deleted():
    line = LineFactory()

    with pytest.raises(IntegrityError, match="A line is never deleted"), transaction.atomic():
        line.delete()
    with pytest.raises(IntegrityError, match="An order is never deleted"), transaction.atomic():
        OrderFactory().delete()


def test_the_first_instant_a_deposit_was_complete_stands():
    order = OrderFactory()
    first, later = datetime(2027, 1, 15, 9, tzinfo=UTC), datetime(2027, 2, 1, 9, tzinfo=UTC)

    services.mark_deposit_complete(order_id=order.pk, at=first)
    services.mark_deposit_complete(order_id=order.pk, at=later)
    order.refresh_from_db()
    assert order.deposit_complete_at == first

    services.clear_deposit_complete(order_id=order.pk)
    order.refresh_from_db()
    assert order.deposit_complete_at is None
