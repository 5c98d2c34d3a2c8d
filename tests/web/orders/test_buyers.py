import pytest
from django.urls import reverse

from apiary_ops.orders.models import Buyer
from apiary_ops.orders.services import add_buyer
from tests.factories.orders import BuyerFactory, LineFactory, OrderFactory
from tests.factories.people import UserFactory

pytestmark = pytest.mark.django_db

LIST = "/orders/buyers/"


def test_an_empty_list_says_how_buyers_come_into_it(client, office):
    assert "A buyer is written down with the first order, or here." in client.get(LIST).text


def test_the_list_shows_what_each_ordered(client, office, season):
    buyer = BuyerFactory(name="Willa Marsh", phone="555 0100", tier="returning")
    LineFactory(order=OrderFactory(season=season, buyer=buyer), quantity=3)
    LineFactory(order=OrderFactory(season=season, buyer=buyer), quantity=2, state="cancelled")

    response = client.get(LIST)

    row = response.context["table"].records[0]
    assert (row.nucs, row.orders_ever) == (3, 2)
    for words in ("Willa Marsh", "555 0100", "returning"):
        assert words in response.text, words


def test_the_list_is_narrowed_by_words_and_tier(client, office):
    add_buyer(name="Łukasz Čížek", phone="+1 902 555 0100", actor=office)
    add_buyer(name="Hollow Oak", tier="wholesale", actor=office)

    assert "Hollow Oak" not in client.get(LIST, {"text": "5550100"}).text
    assert "Hollow Oak" not in client.get(LIST, {"text": "cizek"}).text
    assert "Čížek" not in client.get(LIST, {"tier": "wholesale"}).text


def test_twenty_buyers_ask_the_database_no_more(client, office, django_assert_max_num_queries):
    for _ in range(20):
        BuyerFactory()

    with django_assert_max_num_queries(10):
        client.get(LIST)


def test_the_page_shows_orders_particulars_and_likely_twins(client, office, season):
    buyer = add_buyer(name="Willa Marsh", phone="555 0100", address="2 Hill Road", notes="rings late", actor=office)
    twin = add_buyer(name="Marsh Willa", actor=office)
    LineFactory(order=OrderFactory(season=season, buyer=buyer, number="2027-0042"), quantity=3)

    page = client.get(reverse("orders:buyer", args=[buyer.pk])).text

    for words in ("555 0100", "2 Hill Road", "rings late", "2027-0042", "Perhaps the same buyer"):
        assert words in page, words
    assert reverse("orders:buyer", args=[twin.pk]) in page


def test_a_buyer_is_added_and_shown(client, office):
    response = client.post("/orders/buyers/add/", {"name": "<i>Bram</i>", "tier": "new"}, follow=True)

    assert "&lt;i&gt;Bram&lt;/i&gt; is written down." in response.text


def test_adding_a_likely_twin_shows_the_one_that_is_there(client, office):
    add_buyer(name="Bram Tarrant", actor=office)

    response = client.post("/orders/buyers/add/", {"name": "Tarrant Bram", "tier": "new"})

    assert "Perhaps already here." in response.text
    assert Buyer.objects.count() == 1


def test_a_buyer_is_changed_with_its_version(client, office):
    buyer = add_buyer(name="Bram Tarrant", actor=office)
    url = reverse("orders:buyer-edit", args=[buyer.pk])
    fields = {"name": "Abram Tarrant", "tier": "returning", "version": 1}

    saved = client.post(url, fields)
    stale = client.post(url, fields | {"name": "Other"})

    buyer.refresh_from_db()
    assert saved.status_code == 302
    assert (buyer.name, buyer.search_key, buyer.tier) == ("Abram Tarrant", "abram tarrant", "returning")
    assert stale.status_code == 422
    assert "Now stands as: Abram Tarrant" in stale.text


def test_a_broken_address_of_mail_is_refused_beside_the_field(client, office):
    response = client.post("/orders/buyers/add/", {"name": "Bram", "email": "nowhere", "tier": "new"})

    assert response.status_code == 422
    assert response.context["form"].errors["email"] == ["Enter a valid email address."]


def test_the_bookkeeper_reads_buyers_and_changes_none(client, season):
    buyer = BuyerFactory()
    client.force_login(UserFactory(bookkeeper=True))

    page = client.get(reverse("orders:buyer", args=[buyer.pk])).text

    assert reverse("orders:buyer-edit", args=[buyer.pk]) not in page
    assert client.get(reverse("orders:buyer-edit", args=[buyer.pk])).status_code == 403
