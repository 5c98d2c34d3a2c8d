"""What the gate is shown: which nucs may leave on a line, what is to be paid, who is still to come."""

from datetime import date, timedelta

import pytest

from apiary_ops.allocation import services as allocation
from apiary_ops.billing import queries as billing_queries
from apiary_ops.billing import services as billing
from apiary_ops.nucs.models import Nuc
from apiary_ops.pickups import queries, services
from tests.factories.allocation import ready
from tests.factories.billing import open_books, order_of
from tests.factories.nucs import NucKindFactory
from tests.factories.orders import LineFactory
from tests.factories.people import UserFactory
from tests.factories.pickups import DAWN, DAY, PickupDayFactory, WindowFactory, booked, ready_order
from tests.factories.yards import YardFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def hand():
    return UserFactory(gate=True)


def offered(order, booking=None, yard=None) -> list[tuple[list[int], list[int]]]:
    """For each line the suggested numbers and the others."""
    rows = queries.line_choices(order, on=DAY, booking=booking, yard_id=yard and yard.pk)
    return [
        (
            [choice.nuc.number for choice in row.choices if choice.is_suggested],
            [choice.nuc.number for choice in row.choices if not choice.is_suggested],
        )
        for row in rows
    ]


def bind(order, nucs, hand):
    line = order.lines.order_by("id").first()
    allocation.bind_nucs(line_id=line.pk, nuc_ids=[nuc.pk for nuc in nucs], now=DAWN, actor=hand)


def numbers(nucs) -> list[int]:
    return [nuc.number for nuc in nucs]


def test_the_oldest_ready_nucs_are_suggested():
    open_books()
    order = order_of(2)
    young, old = ready(2, ready_on=DAY), ready(2, ready_on=DAY - timedelta(days=3))

    assert offered(order) == [(numbers(old), numbers(young))]


def test_bound_nucs_come_before_older_ones(hand):
    order, nucs = ready_order(1)
    younger = ready(1, ready_on=DAY)
    bind(order, younger, hand)

    assert offered(order) == [(numbers(younger), numbers(nucs))]


def test_nucs_bound_to_another_order_are_not_offered(hand):
    order, nucs = ready_order(1)
    other = order_of(1)
    bind(other, nucs, hand)

    assert offered(order) == [([], [])]
    assert queries.line_choices(order, on=DAY, booking=None, yard_id=None)[0].lacking == 1


def test_nucs_held_not_ready_or_of_another_kind_are_not_offered():
    order, nucs = ready_order(4)
    Nuc.objects.filter(pk=nucs[0].pk).update(hold_reason="mites")
    Nuc.objects.filter(pk=nucs[1].pk).update(ready_on=DAY + timedelta(days=1))
    ready(1, kind=NucKindFactory(code="winter", name="overwintered nuc"))

    assert offered(order) == [(numbers(nucs[2:]), [])]


def test_own_kind_is_suggested_before_one_accepted_instead():
    order, nucs = ready_order(1)
    winter = NucKindFactory(code="winter", name="overwintered nuc")
    order.lines.get().substitutes.add(winter)
    instead = ready(1, kind=winter, ready_on=DAY - timedelta(days=4))

    assert offered(order) == [(numbers(nucs), numbers(instead))]


def test_what_stands_at_the_yard_is_suggested_before_what_must_be_brought_there():
    order, brought = ready_order(1)
    yard = YardFactory(is_pickup_yard=True)
    here = ready(1, stands_at=yard, ready_on=DAY)

    assert offered(order, yard=yard) == [(numbers(here), numbers(brought))]
    assert offered(order) == [(numbers(brought), numbers(here))]


def test_what_stands_at_another_pickup_yard_is_not_suggested():
    open_books()
    order, yard = order_of(1), YardFactory(is_pickup_yard=True)
    there = ready(1, stands_at=YardFactory(is_pickup_yard=True))

    assert offered(order, yard=yard) == [([], numbers(there))]


def test_as_many_are_suggested_as_are_booked(hand):
    order, nucs = ready_order(3)
    line = order.lines.get()
    booking = services.book(
        order_id=order.pk, window_id=WindowFactory().pk, quantities={line.pk: 2}, actor=UserFactory(office=True)
    )

    assert offered(order, booking) == [(numbers(nucs[:2]), numbers(nucs[2:]))]


def test_no_nuc_is_suggested_for_two_lines():
    order, nucs = ready_order(1, 1)

    assert offered(order) == [([nucs[0].number], [nucs[1].number]), ([nucs[1].number], [nucs[0].number])]


@pytest.mark.parametrize("percent", ["0", "5"])
@pytest.mark.parametrize("deposit", [0, 15000])
@pytest.mark.parametrize("leaving", [0, 1, 3])
def test_what_is_owed_by_many_orders_is_what_is_reckoned_for_each(hand, percent, deposit, leaving):
    order, nucs = ready_order(4, percent=percent)
    if deposit:
        billing.take_deposit(
            order_id=order.pk,
            cents=deposit,
            received_on=date(2027, 1, 15),
            received_at=DAWN,
            method="cash",
            actor=hand,
        )
    line = order.lines.get()
    if leaving:
        services.hand_over(
            once_key="00000000-0000-0000-0000-000000000001",
            order_id=order.pk,
            booking_id=None,
            nucs=[(nuc.pk, line.pk) for nuc in nucs[:leaving]],
            taken_by_name="Ada Fern",
            payment_cents=1000,
            method="cash",
            at=DAWN,
            actor=hand,
        )
    rest = {line.pk: 4 - leaving}

    found = queries.expected({order.pk: rest}, DAY)[order.pk]

    if sum(rest.values()):
        one = billing_queries.reckon(order, rest, on=DAY)
        assert (found.total_cents, found.deposit_cents) == (one.totals.total_cents, one.deposit_cents)
    assert found.unpaid_cents == billing_queries.owed(order)
    assert found.owed_cents == found.total_cents - found.deposit_cents + found.unpaid_cents


@pytest.mark.parametrize("leaving", [(1, 0), (0, 1), (2, 1), (1, 2)])
def test_nucs_of_different_prices_use_the_deposit_as_it_is_reckoned(hand, leaving):
    order, _nucs = ready_order(2, percent="5")
    LineFactory(order=order, quantity=2, price_cents=9999, tax_category=order.lines.get().tax_category)
    billing.take_deposit(
        order_id=order.pk,
        cents=80000,
        received_on=date(2027, 1, 15),
        received_at=DAWN,
        method="cash",
        actor=hand,
    )
    given = {line.pk: nucs for line, nucs in zip(order.lines.order_by("pk"), leaving, strict=True) if nucs}

    found = queries.expected({order.pk: given}, DAY)[order.pk]

    one = billing_queries.reckon(order, given, on=DAY)
    assert (found.total_cents, found.deposit_cents) == (one.totals.total_cents, one.deposit_cents)


def test_nothing_to_collect_owes_only_what_is_open():
    order, _nucs = ready_order(1)

    assert queries.expected({order.pk: {}}, DAY)[order.pk] == queries.Expected(0, 0, 0)


def test_a_day_lists_its_bookings_with_numbers_and_what_is_owed(hand):
    order, nucs = ready_order(2, buyer__name="Ada Fern")
    booking = booked(order)
    bind(order, nucs, hand)

    (row,) = queries.rows_of_days([booking.window.day], on=DAY)

    assert (row.nucs, row.kinds) == (2, "2 × 5-frame spring nuc")
    assert row.stands == f"{nucs[0].number}, {nucs[1].number} at {nucs[0].yard}"
    assert (row.numbered, row.lacks_numbers, row.owed_cents) == (2, False, 59000)


def test_cancelled_bookings_are_left_out_and_missed_ones_stay(hand):
    open_books()
    day = PickupDayFactory()
    gone, missed = (
        booked(order_of(1), WindowFactory(day=day)),
        booked(order_of(1), WindowFactory(day=day, starts_at="06:30", ends_at="07:00")),
    )
    services.cancel_booking(booking_id=gone.pk, actor=hand)
    services.miss_booking(booking_id=missed.pk, actor=hand)

    rows = queries.rows_of_days([day], on=DAY)

    assert [(row.booking, row.is_missed) for row in rows] == [(missed, True)]


def test_a_day_takes_the_same_number_of_queries_for_many_bookings(django_assert_max_num_queries):
    open_books()
    window = WindowFactory(places=30)
    for _ in range(20):
        booked(order_of(2), window)

    with django_assert_max_num_queries(10):
        assert len(queries.rows_of_days([window.day], on=DAY)) == 20


def test_orders_are_found_by_number_name_and_telephone():
    open_books()
    order = order_of(
        1, buyer__name="Ada Fern", buyer__search_key="ada fern", buyer__phone="555 0177", buyer__phone_key="5550177"
    )
    other = order_of(1, buyer__name="Ben Moss", buyer__search_key="ben moss")
    season_id = order.season_id

    assert list(queries.orders_to_collect(season_id)) == [order, other]
    assert list(queries.orders_to_collect(season_id, "FERN")) == [order]
    assert list(queries.orders_to_collect(season_id, order.number)) == [order]
    assert list(queries.orders_to_collect(season_id, "555 0177")) == [order]
    assert list(queries.orders_to_collect(season_id, "nobody")) == []
