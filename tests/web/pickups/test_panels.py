"""What an order's and a nuc's own pages say of plans, bookings and hand-overs."""

from uuid import UUID

import pytest
from django.urls import reverse

from apiary_ops.allocation import services as allocation
from apiary_ops.pickups import services
from tests.factories.allocation import NOW, TODAY
from tests.factories.billing import open_books, order_of
from tests.factories.business import SeasonFactory
from tests.factories.people import UserFactory
from tests.factories.pickups import DAWN, DAY, PickupDayFactory, WindowFactory, booked, ready_order
from tests.factories.yards import YardFactory
from tests.web.reading import text

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def desk(settings, client):
    settings.PRETENDED_TODAY = DAY
    open_books()
    SeasonFactory()
    client.force_login(UserFactory(office=True))


def order_page(client, order) -> str:
    return text(client.get(reverse("orders:order", args=[order.number])))


def nuc_page(client, nuc) -> str:
    return text(client.get(reverse("nucs:nuc", args=[nuc.pk])))


def test_an_order_shows_its_places_in_the_standing_plan(client):
    order, _nucs = ready_order(2)
    assert "In the plan" not in order_page(client, order)
    office = UserFactory(office=True)
    plan = allocation.propose_plan(season_id=order.season_id, today=TODAY, now=NOW, actor=office)
    allocation.accept_plan(plan_id=plan.pk, now=NOW, actor=office)

    page = order_page(client, order)

    assert "In the plan" in page
    assert "2, week of 31 May" in page
    assert "Given the week of 31 May, the earliest it can take." in page


def test_an_order_that_is_owed_nucs_offers_the_days_with_places(client):
    order, _nucs = ready_order(1)
    day = WindowFactory(day=PickupDayFactory(yard=YardFactory(name="Mill yard", is_pickup_yard=True))).day

    page = order_page(client, order)

    assert f"{reverse('pickups:book', args=[day.pk])}?order={order.number}" in page
    assert "Mill yard" in page


def test_an_order_without_any_day_to_book_says_so(client):
    assert "No day with a place free is open yet" in order_page(client, order_of(1))


def test_an_order_shows_its_booking_and_then_its_hand_over(client):
    order, nucs = ready_order(1)
    booking = booked(order)
    assert reverse("pickups:booking", args=[booking.pk]) in order_page(client, order)

    done = services.hand_over(
        once_key=UUID(int=7),
        order_id=order.pk,
        booking_id=booking.pk,
        nucs=[(nucs[0].pk, order.lines.get().pk)],
        taken_by_name="Ada Fern",
        payment_cents=0,
        method="cash",
        at=DAWN,
        actor=UserFactory(gate=True),
    )

    page = order_page(client, order)
    assert reverse("pickups:handed", args=[done.pk]) in page
    assert "taken by Ada Fern" in page
    assert "No day with a place free" not in page
    nuc = nuc_page(client, nucs[0])
    assert "Given to" in nuc
    assert "Handed over" in nuc
    assert order.number in nuc


def test_crew_sees_no_orders_on_a_nuc(client):
    order, nucs = ready_order(1)
    allocation.bind_nucs(line_id=order.lines.get().pk, nuc_ids=[nucs[0].pk], now=DAWN, actor=UserFactory(gate=True))
    assert order.number in nuc_page(client, nucs[0])
    client.force_login(UserFactory(crew=True))

    assert order.number not in nuc_page(client, nucs[0])
