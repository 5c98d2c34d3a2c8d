"""The queen pages: what each reader must see, and refusals beside their fields."""

from datetime import date

import pytest
from django.urls import reverse

from apiary_ops.queens import services
from apiary_ops.queens.models import Lot, QueenOrder
from tests.factories.business import BusinessFactory, SeasonFactory
from tests.factories.costs import SupplierFactory
from tests.factories.queens import QueenOrderFactory, received_lot

pytestmark = pytest.mark.django_db


@pytest.fixture
def season(settings):
    settings.PRETENDED_TODAY = date(2027, 5, 6)
    BusinessFactory()
    return SeasonFactory()


def order_fields(**values):
    fields = {
        "supplier": SupplierFactory(breeder=True, name="Hill Breeder").pk,
        "queens": "50",
        "unit_price": "48.00",
        "ship_week": "2027-05-12",
        "ordered_on": "2026-12-01",
        "cancel_by": "2027-03-15",
    }
    return {**fields, **values}


def receipt_fields(form, **values):
    fields = {
        "once_key": form["once_key"].value(),
        "received_on": "2027-05-04",
        "received": "50",
        "dead_on_arrival": "1",
        "freight": "120.00",
        "papers": "20.00",
        "reference": "HB-77",
        "due_on": "2027-06-03",
    }
    return {**fields, **values}


# --- Overview.


def test_an_empty_season_says_what_to_do_first(client, office):
    response = client.get(reverse("queens:overview"))

    assert response.status_code == 200
    assert "No queens are ordered for this season." in response.text
    assert reverse("queens:order-add") in response.text


def test_the_overview_shows_orders_bank_and_days_left(client, office):
    order = QueenOrderFactory(queens=80, cancel_by=date(2027, 5, 20), supplier__name="Hill Breeder")
    received_lot(order, received=50, dead_on_arrival=2)

    response = client.get(reverse("queens:overview"))

    for words in ("2027-Q01", "Hill Breeder", "4 days left", "part received", "Receive", "48.00", "20 May"):
        assert words in response.text
    assert response.context["due"] == 30
    assert response.context["tally"].banked == 48


def test_crew_sees_counts_and_no_money(client, crew):
    lot = received_lot(received=50)

    overview = client.get(reverse("queens:overview"))
    page = client.get(reverse("queens:lot", args=[lot.code]))

    for response in (overview, page):
        assert response.status_code == 200
        assert "48.00" not in response.text
        assert "CAD" not in response.text
    assert "Landed cost" not in page.text
    assert reverse("queens:receive", args=[lot.order_id]) not in overview.text


def test_queens_over_their_day_are_marked(client, office):
    received_lot(received=10, received_on=date(2027, 4, 28))

    assert "1 day over" in client.get(reverse("queens:overview")).text


def test_a_long_list_takes_a_bounded_number_of_queries(client, office, django_assert_max_num_queries):
    for number in range(20):
        received_lot(received=5, reference=f"R-{number}")

    with django_assert_max_num_queries(22):
        client.get(reverse("queens:overview"))


@pytest.mark.parametrize(
    ("query", "name", "words"), [("", "queen-orders.csv", "50"), ("&list=lots", "queen-lots.csv", "2027-Q01")]
)
def test_orders_and_lots_are_saved_as_files(client, crew, query, name, words):
    received_lot(received=50)

    response = client.get(reverse("queens:overview") + "?export=csv" + query)

    assert name in response["Content-Disposition"]
    assert words in response.text
    assert "48.00" not in response.text


# --- Orders.


def test_queens_are_ordered(client, office):
    response = client.post(reverse("queens:order-add"), order_fields(), follow=True)

    order = QueenOrder.objects.get()
    assert response.redirect_chain[0][0] == reverse("queens:order", args=[order.pk])
    assert f"50 queens are ordered from {order.supplier}." in response.text
    assert (order.queens, order.unit_price_cents, order.ship_week) == (50, 4800, date(2027, 5, 10))


def test_a_ship_week_before_the_order_is_refused_beside_the_field(client, office):
    response = client.post(reverse("queens:order-add"), order_fields(ship_week="2026-11-23"))

    assert response.status_code == 422
    assert response.context["form"].errors["ship_week"] == ["The ship week lies before the order. Choose a later week."]


def test_an_order_page_shows_its_lots_and_what_changed(client, office):
    lot = received_lot(received=20)

    response = client.get(reverse("queens:order", args=[lot.order_id]))

    assert response.status_code == 200
    assert lot.code in response.text
    assert "Price each" in response.text


def test_an_order_is_raised(client, office):
    order = QueenOrderFactory()
    fields = {"version": "1", "queens": "60", "unit_price": "48.00", "ship_week": "2027-05-03", "cancel_by": ""}

    response = client.post(reverse("queens:order-edit", args=[order.pk]), fields)

    assert response.status_code == 302
    order.refresh_from_db()
    assert (order.queens, order.cancel_by) == (60, None)


def test_a_stale_order_form_shows_what_stands_now(client, office):
    order = QueenOrderFactory()
    services.edit_queen_order(order_id=order.pk, version=1, changes={"queens": 70}, actor=office)
    fields = {"version": "1", "queens": "60", "unit_price": "48.00", "ship_week": "2027-05-03"}

    response = client.post(reverse("queens:order-edit", args=[order.pk]), fields)

    assert response.status_code == 422
    assert response.context["form"].errors["queens"] == ["Now stands as: 70"]


def test_fewer_than_came_is_refused_beside_the_field(client, office):
    lot = received_lot(QueenOrderFactory(queens=50), received=20)
    fields = {"version": "1", "queens": "10", "unit_price": "48.00", "ship_week": "2027-05-03"}

    response = client.post(reverse("queens:order-edit", args=[lot.order_id]), fields)

    words = "20 of these queens have come already. Order at least as many."
    assert response.context["form"].errors["queens"] == [words]


def test_an_order_is_cancelled_after_a_warning(client, office):
    order = QueenOrderFactory(cancel_by=date(2027, 3, 15))
    url = reverse("queens:order-cancel", args=[order.pk])

    warning = client.get(url)
    response = client.post(url, {"on": "2027-05-06"})

    assert "The last day to cancel was Mon 15 Mar 2027." in warning.text
    assert response.status_code == 302
    order.refresh_from_db()
    assert order.cancelled_on == date(2027, 5, 6)


def test_an_order_that_has_come_whole_is_not_cancelled(client, office):
    lot = received_lot(received=20)

    response = client.post(reverse("queens:order-cancel", args=[lot.order_id]), {"on": "2027-05-06"})

    assert response.status_code == 422
    assert "nothing left to cancel" in response.text


# --- Receiving.


def receive(client, order, **values):
    url = reverse("queens:receive", args=[order.pk])
    form = client.get(url).context["form"]
    return client.post(url, receipt_fields(form, **values))


def test_queens_are_received_and_posted(client, office):
    received_lot(received=1)  # opens the books
    order = QueenOrderFactory()

    response = receive(client, order)

    lot = Lot.objects.get(order=order)
    assert response.url == reverse("queens:lot", args=[lot.code])
    assert (lot.received, lot.dead_on_arrival, lot.bill.total_cents) == (50, 1, 2540_00)


@pytest.mark.parametrize(
    ("values", "field", "words"),
    [
        ({"received": "51"}, "received", "50 queens of this order are still to come"),
        ({"dead_on_arrival": "51"}, "dead_on_arrival", "More queens are dead than arrived. Count again."),
        ({"received_on": "2026-11-30"}, "received_on", "Queens cannot arrive before they were ordered."),
        ({"received_on": "2027-05-07"}, "received_on", "That day is still to come."),
        ({"due_on": "2027-05-01"}, "due_on", ""),
        ({"freight": ""}, "freight", "This field is required."),
    ],
)
def test_a_receipt_that_cannot_be_is_refused_beside_the_field(client, office, values, field, words):
    received_lot(received=1)
    order = QueenOrderFactory()

    response = receive(client, order, **values)

    assert response.status_code == 422
    assert words in response.context["form"].errors[field][0]
    assert not order.lots.exists()


def test_a_bill_recorded_before_is_refused_beside_its_number(client, office):
    first = received_lot(QueenOrderFactory(queens=50), received=10, reference="HB-77")

    response = receive(client, first.order, received="10", reference="HB-77")

    assert response.status_code == 422
    assert "already recorded" in response.context["form"].errors["reference"][0]


def test_a_double_click_receives_one_lot(client, office):
    received_lot(received=1)
    order = QueenOrderFactory(queens=100)
    url = reverse("queens:receive", args=[order.pk])
    fields = receipt_fields(client.get(url).context["form"])

    first, second = client.post(url, fields), client.post(url, fields, follow=True)

    assert second.redirect_chain[0][0] == first.url
    assert "nothing was done twice" in second.text
    assert order.lots.count() == 1


# --- A lot.


def test_a_lot_explains_what_a_live_queen_cost(client, office):
    lot = received_lot(received=100, dead_on_arrival=5, freight_cents=120_00)

    text = client.get(reverse("queens:lot", args=[lot.code])).text

    for words in ("50.72", "50.73", "4,920.00", "101.44", "4,818.56"):
        assert words in text
    assert "2 dead beyond the ordinary: a loss of the period" in text
    assert "hive by Mon 10 May" in text


def test_a_lot_shows_where_its_queens_went_and_what_was_posted(client, office):
    lot = received_lot(received=10)
    services.take_queens(lot_id=lot.pk, queens=4, on=date(2027, 5, 5), source="batch:7", actor=office)

    text = client.get(reverse("queens:lot", args=[lot.code])).text

    for words in ("introduced", "batch 7", "192.00", "Queens on hand"):
        assert words in text


def test_dead_queens_are_counted_by_the_crew(client, crew):
    lot = received_lot(received=10)
    url = reverse("queens:dead", args=[lot.code])
    key = client.get(url).context["form"]["once_key"].value()

    response = client.post(url, {"once_key": key, "queens": "2", "on": "2027-05-06"})

    assert response.url == reverse("queens:lot", args=[lot.code])
    lot.refresh_from_db()
    assert lot.dead == 2


def test_more_dead_than_are_left_is_refused_beside_the_field(client, crew):
    lot = received_lot(received=10)
    url = reverse("queens:dead", args=[lot.code])
    key = client.get(url).context["form"]["once_key"].value()

    response = client.post(url, {"once_key": key, "queens": "11", "on": "2027-05-06"})

    assert response.status_code == 422
    assert "has 10 live queens left" in response.context["form"].errors["queens"][0]


def test_the_form_to_change_an_order_names_its_breeder(client, office):
    order = QueenOrderFactory(supplier=SupplierFactory(name="Harrow Point", sells_queens=True))

    page = client.get(reverse("queens:order-edit", args=[order.pk]))

    assert "Change the order from Harrow Point" in page.text


def test_each_list_offers_its_own_files(client, crew):
    received_lot(received=50)

    page = client.get(reverse("queens:overview")).text

    assert 'href="?list=orders&amp;export=xlsx"' in page
    assert 'href="?list=lots&amp;export=xlsx"' in page
