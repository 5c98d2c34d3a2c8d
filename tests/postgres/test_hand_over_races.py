"""Two hands at one gate: a holder and a waiter each, so that the race is certain."""

from datetime import time
from uuid import uuid4

import pytest

from apiary_ops.allocation import services as allocation
from apiary_ops.allocation.models import Binding, Plan
from apiary_ops.billing.models import Invoice, Receipt
from apiary_ops.business import stamps
from apiary_ops.orders import services as order_services
from apiary_ops.orders.models import Order
from apiary_ops.pickups import services
from apiary_ops.pickups.models import Booking, HandedNuc, HandOver
from tests.factories.allocation import NOW, TODAY, owed, ready
from tests.factories.billing import order_of
from tests.factories.people import UserFactory
from tests.factories.pickups import DAWN, DAY, WindowFactory, booked, ready_order
from tests.postgres.racing import race

pytestmark = [pytest.mark.postgres, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def hand():
    return UserFactory(gate=True)


def hand_over(order, nucs, hand, once_key=None):
    line = order.lines.get()
    return services.hand_over(
        once_key=once_key or uuid4(),
        order_id=order.pk,
        booking_id=None,
        nucs=[(nuc.pk, line.pk) for nuc in nucs],
        taken_by_name="Ada Fern",
        payment_cents=29500,
        method="cash",
        at=DAWN,
        actor=hand,
    )


def book(order, window, office):
    quantities = {line.pk: line.quantity for line in order.lines.all()}
    return services.book(order_id=order.pk, window_id=window.pk, quantities=quantities, actor=office)


def test_two_hands_give_the_same_nuc_once(hand):
    order, nucs = ready_order(1)
    other = order_of(1)

    first, second = race(lambda: hand_over(order, nucs, hand), lambda: hand_over(other, nucs, hand))

    assert isinstance(first, HandOver)
    assert isinstance(second, services.NucAlreadyHandedOver)
    assert HandedNuc.objects.get().hand_over == first
    assert Invoice.objects.count() == 1


def test_one_form_sent_by_two_phones_at_once_is_carried_out_once(hand):
    order, nucs = ready_order(1)
    key = uuid4()

    first, second = race(lambda: hand_over(order, nucs, hand, key), lambda: hand_over(order, nucs, hand, key))

    assert first == second
    assert (HandOver.objects.count(), Invoice.objects.count(), Receipt.objects.count()) == (1, 1, 1)


def test_a_hand_over_waits_at_the_stamps_before_it_takes_its_order(hand):
    """Whoever writes an order locks its stamp first: the order must be free for them while the hand-over waits."""
    order, nucs = ready_order(1)

    locked, done = race(
        lambda: stamps.lock(order.season_id, ("orders",)),
        lambda: hand_over(order, nucs, hand),
        then=lambda: Order.objects.select_for_update(no_key=True, nowait=True).get(pk=order.pk),
    )

    assert list(locked) == ["orders"]
    assert isinstance(done, HandOver)


def test_two_hands_at_once_number_their_invoices_without_a_gap(hand):
    order, nucs = ready_order(1)
    other = order_of(1)
    more = ready(1)

    first, second = race(lambda: hand_over(order, nucs, hand), lambda: hand_over(other, more, hand))

    assert [first.invoice.serial, second.invoice.serial] == [1, 2]


def test_the_last_place_of_a_window_is_booked_once(hand):
    order, _nucs = ready_order(1)
    other, window = order_of(1), WindowFactory(places=1)

    first, second = race(lambda: book(order, window, hand), lambda: book(other, window, hand))

    assert isinstance(first, Booking)
    assert isinstance(second, services.WindowFull)
    window.refresh_from_db()
    assert window.booked == 1


def test_two_bookings_that_change_places_do_not_wait_for_each_other_for_ever(hand):
    order, _nucs = ready_order(1)
    early, late = WindowFactory(), WindowFactory(starts_at=time(6), ends_at=time(7))
    mine, other = booked(order, early), booked(order_of(1), late)

    def move(booking, window):
        return services.move_booking(booking_id=booking.pk, window_id=window.pk, actor=hand)

    first, second = race(lambda: move(mine, late), lambda: move(other, early))

    assert (first.window, second.window) == (late, early)


def test_a_nuc_is_bound_to_one_of_two_lines(hand):
    mine, other, nucs = owed(1), owed(1), ready(1)

    def bind(line):
        return allocation.bind_nucs(line_id=line.pk, nuc_ids=[nucs[0].pk], now=NOW, actor=hand)

    first, second = race(lambda: bind(mine), lambda: bind(other))

    assert first[0].line == mine
    assert isinstance(second, allocation.NucAlreadyGiven)
    assert Binding.objects.count() == 1


def test_a_nuc_bound_while_it_is_handed_to_another_does_not_leave_twice(hand):
    order, nucs = ready_order(1)
    other = order_of(1).lines.get()

    first, second = race(
        lambda: hand_over(order, nucs, hand),
        lambda: allocation.bind_nucs(line_id=other.pk, nuc_ids=[nucs[0].pk], now=DAWN, actor=hand),
    )

    assert isinstance(first, HandOver)
    assert isinstance(second, allocation.NucAlreadyGiven | allocation.NucNotFit)


def test_a_plan_is_not_accepted_while_what_it_was_made_from_changes(hand):
    line = owed(1)
    plan = allocation.propose_plan(season_id=line.order.season_id, today=TODAY, now=NOW, actor=hand)

    first, second = race(
        lambda: order_services.cancel_line(line_id=line.pk, on=DAY, reason="ill", actor=hand),
        lambda: allocation.accept_plan(plan_id=plan.pk, now=NOW, actor=hand),
    )

    assert first.state == "cancelled"
    assert isinstance(second, allocation.StalePlan)
    assert not Plan.objects.filter(is_standing=True).exists()


def test_two_plans_accepted_at_once_leave_one_standing(hand):
    line = owed(1)
    plan = allocation.propose_plan(season_id=line.order.season_id, today=TODAY, now=NOW, actor=hand)

    def accept():
        return allocation.accept_plan(plan_id=plan.pk, now=NOW, actor=hand)

    first, second = race(accept, accept)

    assert first == second == plan
    assert Plan.objects.filter(is_standing=True).count() == 1
