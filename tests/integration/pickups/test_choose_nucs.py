import pytest

from apiary_ops.allocation import queries as allocation_queries
from apiary_ops.pickups import services
from tests.factories.allocation import ready
from tests.factories.people import UserFactory
from tests.factories.pickups import DAWN, booked, ready_order

pytestmark = pytest.mark.django_db


@pytest.fixture
def hand():
    return UserFactory(gate=True)


def choose(booking, nucs, hand):
    line = booking.order.lines.get()
    return services.choose_nucs(booking_id=booking.pk, nucs=[(nuc.pk, line.pk) for nuc in nucs], at=DAWN, actor=hand)


def standing(booking) -> list[int]:
    return [binding.nuc.number for binding in allocation_queries.bindings_of([booking.order_id])]


def test_the_nucs_chosen_stand_ready_for_the_booking(hand):
    order, nucs = ready_order(2)
    booking = booked(order)

    choose(booking, nucs, hand)

    assert standing(booking) == [nuc.number for nuc in nucs]


def test_choosing_others_lets_the_first_go(hand):
    order, nucs = ready_order(2)
    booking, other = booked(order), ready(1)
    choose(booking, nucs, hand)

    choose(booking, [nucs[0], *other], hand)

    assert standing(booking) == sorted([nucs[0].number, other[0].number])


def test_choosing_none_lets_all_go(hand):
    order, nucs = ready_order(2)
    booking = booked(order)
    choose(booking, nucs, hand)

    choose(booking, [], hand)

    assert standing(booking) == []


def test_a_cancelled_booking_takes_no_nucs(hand):
    order, nucs = ready_order(1)
    booking = booked(order)
    services.cancel_booking(booking_id=booking.pk, actor=hand)

    with pytest.raises(services.BookingIsOver, match=r"^This booking is cancelled, so it takes no nucs\.$"):
        choose(booking, nucs, hand)
