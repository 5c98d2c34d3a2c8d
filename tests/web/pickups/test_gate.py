from uuid import uuid4

import pytest
from django.urls import reverse

from apiary_ops.pickups import services
from apiary_ops.pickups.models import HandOver
from tests.factories.allocation import ready
from tests.factories.billing import open_books, order_of
from tests.factories.business import SeasonFactory
from tests.factories.people import UserFactory
from tests.factories.pickups import DAY, WindowFactory, booked, ready_order
from tests.web.reading import text

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def desk(settings):
    settings.PRETENDED_TODAY = DAY
    open_books()
    SeasonFactory()


@pytest.fixture
def hand(client):
    user = UserFactory(gate=True)
    client.force_login(user)
    return user


def send(client, order, nucs, follow=False, **changes):
    line = order.lines.order_by("id").first()
    form = {
        "once_key": uuid4(),
        f"line-{line.pk}": [nuc.pk for nuc in nucs],
        "payment": "",
        "method": "cash",
        "taken_by": "Ada Fern",
    }
    return client.post(reverse("pickups:hand-over", args=[order.number]), form | changes, follow=follow)


def test_the_gate_lists_who_is_still_to_come_today_and_who_is_gone(client, hand):
    order, nucs = ready_order(1, buyer__name="Ada Fern")
    gone = booked(order)
    booked(order_of(1, buyer__name="Ben Moss"), gone.window)
    send(client, order, nucs)

    page = text(client.get(reverse("pickups:gate")))

    coming, left = page.split("Gone")
    assert "Ben Moss" in coming
    assert "Ada Fern" not in coming
    assert "Ada Fern" in left
    assert "Owed 295.00 CAD" in coming


def test_a_walk_in_is_found_by_name(client, hand):
    order, _nucs = ready_order(1, buyer__name="Ada Fern", buyer__search_key="ada fern")

    page = text(client.get(reverse("pickups:gate"), {"q": "ada"}))
    nobody = text(client.get(reverse("pickups:gate"), {"q": "zzz"}))

    assert reverse("pickups:hand-over", args=[order.number]) in page
    assert "No order that nucs are owed on fits these words." in nobody


def test_without_a_pickup_day_the_gate_says_so(client, hand):
    assert "No pickup day is open today." in text(client.get(reverse("pickups:gate")))


def test_the_hand_over_page_suggests_nucs_and_says_what_to_pay(client, hand):
    order, nucs = ready_order(2, percent="5")
    booked(order)

    page = text(client.get(reverse("pickups:hand-over", args=[order.number])))

    assert page.count("checked") == 3  # two nucs and cash
    assert "To pay now</dt><dd><strong>619.50 CAD" in page
    assert f'value="{order.buyer.name}"' in page


def test_a_hand_over_ends_on_a_page_with_its_invoice(client, hand):
    order, nucs = ready_order(2)
    booking = booked(order)

    page = text(send(client, order, nucs, payment="590.00", follow=True))

    assert f"Done: {order.buyer}" in page
    assert "2027-00001" in page
    assert "is still to be paid" not in page
    booking.refresh_from_db()
    assert booking.state == "collected"


def test_a_part_payment_shows_what_stays_owed(client, hand):
    order, nucs = ready_order(2)

    page = text(send(client, order, nucs, payment="500", follow=True))

    assert "90.00 CAD is still to be paid on this invoice." in page


def test_the_same_form_sent_again_ends_on_the_same_page(client, hand):
    order, nucs = ready_order(2)
    key = uuid4()

    first = send(client, order, nucs, once_key=key)
    second = send(client, order, nucs, once_key=key)

    assert first.status_code == second.status_code == 302
    assert first.url == second.url
    assert HandOver.objects.count() == 1


def test_too_much_money_is_refused_and_what_was_entered_stays(client, hand):
    order, nucs = ready_order(1)

    response = send(client, order, nucs, payment="300.00", taken_by="Somebody Else")

    assert response.status_code == 422
    page = text(response)
    assert "Nothing was handed over. What you entered is still here." in page
    assert "These nucs ask only 295.00 CAD now. Enter that or less." in page
    assert "Somebody Else" in page
    assert not HandOver.objects.exists()


def test_an_amount_that_is_no_amount_is_refused_beside_the_field(client, hand):
    order, nucs = ready_order(1)

    response = send(client, order, nucs, payment="lots")

    assert response.status_code == 422
    assert "“lots” is not an amount; write it like 1,234.50." in text(response)


def test_nothing_ticked_is_refused(client, hand):
    order, _nucs = ready_order(1)

    response = send(client, order, [])

    assert response.status_code == 422
    assert "No nuc is ticked. Tick the nucs that leave." in text(response)


def test_working_it_out_again_hands_nothing_over(client, hand):
    order, nucs = ready_order(3)

    response = send(client, order, nucs[:2], act="reckon")

    assert response.status_code == 200
    assert "To pay now</dt><dd><strong>590.00 CAD" in text(response)
    assert not HandOver.objects.exists()


def test_a_nuc_handed_over_meanwhile_is_refused(client, hand):
    order, nucs = ready_order(1)
    other = order_of(1)
    send(client, other, nucs)

    response = send(client, order, nucs)

    assert response.status_code == 422
    assert HandOver.objects.count() == 1


def test_an_order_without_anything_owed_says_so(client, hand):
    order, nucs = ready_order(1)
    send(client, order, nucs)

    page = text(client.get(reverse("pickups:hand-over", args=[order.number])))

    assert "No nucs are owed on this order" in page
    assert "Collected before" in page
    assert client.get(reverse("pickups:hand-over", args=["2027-9999"])).status_code == 404


def test_a_nuc_suggested_for_one_line_is_not_offered_for_the_other(client, hand):
    order, nucs = ready_order(1, 1)

    page = client.get(reverse("pickups:hand-over", args=[order.number])).content.decode()

    assert page.count(f'value="{nucs[0].pk}"') == page.count(f'value="{nucs[1].pk}"') == 1
    assert "Another nuc" not in page


def test_a_line_without_enough_ready_nucs_says_how_many_lack(client, hand):
    order, _nucs = ready_order(1)
    order_two = order_of(3)

    page = text(client.get(reverse("pickups:hand-over", args=[order_two.number])))

    assert "2 nucs are lacking: no other ready ones stand here." in page
    assert order.number not in page


def test_only_nucs_of_the_yard_are_ticked_when_one_yard_is_open(client, hand):
    order, nucs = ready_order(1)
    window = WindowFactory()
    here = ready(1, stands_at=window.day.yard)

    page = client.get(reverse("pickups:hand-over", args=[order.number])).content.decode()

    ticked = [line for line in page.splitlines() if "checked" in line and "line-" in line]
    assert len(ticked) == 1
    assert f'value="{here[0].pk}"' in ticked[0]


def test_the_bookkeeper_sees_a_hand_over_but_not_the_gate(client, hand):
    order, nucs = ready_order(1)
    send(client, order, nucs)
    done = HandOver.objects.get()
    client.force_login(UserFactory(bookkeeper=True))

    page = client.get(reverse("pickups:handed", args=[done.pk]))

    assert page.status_code == 200
    assert "Next buyer" not in text(page)
    assert client.get(reverse("pickups:gate")).status_code == 403


def test_crew_sees_nothing_of_pickups(client):
    client.force_login(UserFactory(crew=True))

    for name in ("day-list", "gate"):
        assert client.get(reverse(f"pickups:{name}")).status_code == 403


def test_a_missed_booking_can_still_be_handed_over(client, hand):
    order, nucs = ready_order(1)
    booking = booked(order)
    services.miss_booking(booking_id=booking.pk, actor=hand)

    page = text(send(client, order, nucs, follow=True))

    assert "Done" in page
    booking.refresh_from_db()
    assert booking.state == "missed"
