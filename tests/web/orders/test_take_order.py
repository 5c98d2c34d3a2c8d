"""From the ringing telephone to the order: find the buyer, say how many, see the deposit."""

from uuid import uuid4

import pytest
from django.urls import reverse

from apiary_ops.orders.models import Buyer, Order, Round
from apiary_ops.orders.services import add_buyer
from tests.factories.nucs import NucKindFactory
from tests.factories.orders import BuyerFactory, LineFactory, OrderFactory, PriceFactory

pytestmark = pytest.mark.django_db

NEW = "/orders/new/"


def order_fields(price, *rows, **changes):
    fields = {
        "once_key": uuid4(),
        "placed_on": "2027-01-12",
        "pickup_yard": "",
        "notes": "",
        "rows-TOTAL_FORMS": "3",
        "rows-INITIAL_FORMS": "0",
    }
    for number in range(3):
        row = rows[number] if number < len(rows) else {}
        usual = {"quantity": "", "kind": price.kind_id, "round": Round.objects.get().pk, "substitute": ""}
        fields |= {f"rows-{number}-{name}": value for name, value in (usual | row).items()}
    return fields | changes


def test_the_buyer_is_found_by_number_with_a_way_to_the_order(client, office, on_sale):
    buyer = add_buyer(name="Willa Marsh", phone="+1 902 555 0100", actor=office)

    page = client.get(NEW, {"q": "555-0100"}).text

    assert "Willa Marsh" in page
    assert f'href="{reverse("orders:place", args=[buyer.pk])}" autofocus' in page


def test_nobody_found_opens_the_form_for_a_new_buyer_with_what_was_typed(client, office, on_sale):
    page = client.get(NEW, {"q": "Bram Tarrant"}).text

    assert "Nobody is written down as “Bram Tarrant”." in page
    assert 'name="name" value="Bram Tarrant"' in page


@pytest.mark.parametrize(("text", "field"), [("555 0100", "phone"), ("a@alderwick.example", "email")])
def test_what_was_typed_goes_into_the_field_it_looks_like(client, office, on_sale, text, field):
    response = client.get(NEW, {"q": text})

    assert response.context["form"].initial == {field: text}


def test_a_new_buyer_leads_on_to_the_order(client, office, on_sale):
    response = client.post(NEW, {"name": "Bram Tarrant", "phone": "555 0100", "tier": "new"})

    assert response.url == reverse("orders:place", args=[Buyer.objects.get(name="Bram Tarrant").pk])


def test_a_likely_duplicate_is_shown_once_and_does_not_stand_in_the_way_twice(client, office, on_sale):
    there = add_buyer(name="Bram Tarrant", phone="555 0100", actor=office)
    fields = {"name": "Abram Tarrant", "phone": "+1 555-0100", "tier": "new"}

    first = client.post(NEW, fields)
    again = client.post(NEW, fields | {"seen": first.context["form"].data["seen"]})

    assert first.status_code == 200
    assert "Perhaps already here." in first.text
    assert reverse("orders:place", args=[there.pk]) in first.text
    assert f'name="seen" value="{there.pk}"' in first.text
    assert again.status_code == 302
    assert Buyer.objects.count() == 2


def test_a_buyer_without_a_name_is_refused_beside_the_field(client, office, on_sale):
    response = client.post(NEW, {"name": "", "tier": "new"})

    assert response.status_code == 422
    assert response.context["form"].errors["name"] == ["This field is required."]


def test_a_name_of_300_letters_is_refused_and_kept(client, office, on_sale):
    response = client.post(NEW, {"name": "x" * 300, "tier": "new"})

    assert response.status_code == 422
    assert "at most 200 characters" in response.text
    assert "x" * 300 in response.text


def test_the_order_form_shows_prices_of_the_tier_and_what_stands_already(client, office, on_sale):
    PriceFactory(season=on_sale.season, kind=on_sale.kind, tier="wholesale", cents=23000)
    buyer = BuyerFactory(tier="wholesale")
    LineFactory(order=OrderFactory(season=on_sale.season, buyer=buyer, number="2027-0007"))

    page = client.get(reverse("orders:place", args=[buyer.pk])).text

    assert "230.00 CAD" in page
    assert "295.00 CAD" not in page
    assert "2027-0007" in page


def test_the_row_starts_with_the_kind_most_often_asked_for(client, office, on_sale):
    usual = NucKindFactory(code="over-5", name="overwintered nuc")
    PriceFactory(season=on_sale.season, kind=usual)
    LineFactory(order=OrderFactory(season=on_sale.season), kind=usual)

    response = client.get(reverse("orders:place", args=[BuyerFactory().pk]))

    assert response.context["rows"][0].fields["kind"].initial == usual.pk


def test_the_sums_are_worked_out_before_the_order_is_taken(client, office, on_sale):
    url = reverse("orders:place", args=[BuyerFactory().pk])

    response = client.post(url, order_fields(on_sale, {"quantity": "3"}, act="sums"))

    assert response.status_code == 200
    assert response.context["sums"]["deposit"] == 22500
    for words in ("3 × 5-frame spring nuc", "885.00 CAD", "225.00 CAD", "within 14 days"):
        assert words in response.text, words
    assert not Order.objects.exists()


@pytest.mark.parametrize("shown", ["²", "9" * 5000, "-1", "x"])
def test_a_forged_number_of_rows_is_no_accident(client, office, on_sale, shown):
    fields = order_fields(on_sale, act="more") | {"rows-TOTAL_FORMS": shown}

    assert client.post(reverse("orders:place", args=[BuyerFactory().pk]), fields).status_code == 200


def test_more_rows_keep_what_was_typed(client, office, on_sale):
    url = reverse("orders:place", args=[BuyerFactory().pk])

    response = client.post(url, order_fields(on_sale, {"quantity": "3"}, act="more"))

    assert response.status_code == 200
    assert len(response.context["rows"].forms) == 7
    assert 'name="rows-0-quantity" value="3"' in response.text


def test_an_order_is_taken_and_the_deposit_to_ask_is_told(client, office, on_sale):
    small = NucKindFactory(code="spring-4", name="small spring nuc", frames=4, sale_covered=3, sale_brood=2)
    PriceFactory(season=on_sale.season, kind=small, cents=25000)
    buyer = BuyerFactory()
    fields = order_fields(
        on_sale, {"quantity": "2", "substitute": small.pk}, {"quantity": "10", "kind": small.pk, "part_loads": "on"}
    )

    response = client.post(reverse("orders:place", args=[buyer.pk]), fields, follow=True)

    order = Order.objects.get()
    assert response.redirect_chain == [(reverse("orders:order", args=[order.number]), 302)]
    assert "Order 2027-0001 is taken. Ask for a deposit of 900.00 CAD by Tue 26 Jan 2027." in response.text
    assert [(line.quantity, line.kind, line.part_loads) for line in order.lines.order_by("pk")] == [
        (2, on_sale.kind, False),
        (10, small, True),
    ]
    assert order.taken_by == office


def test_a_double_click_takes_one_order(client, office, on_sale):
    url, fields = reverse("orders:place", args=[BuyerFactory().pk]), order_fields(on_sale, {"quantity": "2"})
    client.post(url, fields)

    response = client.post(url, fields, follow=True)

    assert Order.objects.count() == 1
    assert response.redirect_chain[-1][0] == "/orders/2027-0001/"
    assert "nothing was done twice" in response.text


def test_an_order_of_nothing_is_refused(client, office, on_sale):
    response = client.post(reverse("orders:place", args=[BuyerFactory().pk]), order_fields(on_sale))

    assert response.status_code == 422
    assert "Say how many nucs of which kind." in response.text


@pytest.mark.parametrize("quantity", ["0", "-1", "1000000000", "two", "1.5"])
def test_a_wrong_number_of_nucs_is_refused_beside_its_row(client, office, on_sale, quantity):
    response = client.post(
        reverse("orders:place", args=[BuyerFactory().pk]), order_fields(on_sale, {"quantity": quantity})
    )

    assert response.status_code == 422
    assert response.context["rows"][0].errors["quantity"] == ["Ask for 1 to 2,000 nucs."]
    assert not Order.objects.exists()


def test_a_row_without_a_number_says_so(client, office, on_sale):
    response = client.post(
        reverse("orders:place", args=[BuyerFactory().pk]), order_fields(on_sale, {"part_loads": "on"})
    )

    assert response.status_code == 422
    assert "Say how many, or empty the row." in response.text


def test_the_kind_asked_for_is_no_substitute_for_itself(client, office, on_sale):
    response = client.post(
        reverse("orders:place", args=[BuyerFactory().pk]),
        order_fields(on_sale, {"quantity": "1", "substitute": on_sale.kind_id}),
    )

    assert response.status_code == 422
    assert "Choose another kind than the one asked for." in response.text


def test_without_a_price_the_form_says_what_is_missing(client, office, season):
    page = client.get(reverse("orders:place", args=[BuyerFactory().pk])).text

    assert "An order needs a round that is not over and a price that has begun." in page


def test_the_form_asks_the_database_no_more_for_more_rows(client, office, on_sale, django_assert_max_num_queries):
    url = reverse("orders:place", args=[BuyerFactory().pk])
    fields = order_fields(on_sale, act="more") | {"rows-TOTAL_FORMS": "30"}

    with django_assert_max_num_queries(24):
        client.post(url, fields)
