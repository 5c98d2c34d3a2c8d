from datetime import UTC, date, datetime

import pytest
from django.urls import reverse

from tests.factories.nucs import NucKindFactory
from tests.factories.orders import BuyerFactory, LineFactory, OrderFactory, RoundFactory
from tests.factories.people import UserFactory
from tests.factories.yards import YardFactory

pytestmark = pytest.mark.django_db

LIST = "/orders/"


def shown(client, *numbers, **chosen):
    page = client.get(LIST, chosen).text
    return [number for number in numbers if f"/orders/{number}/" in page]


def test_an_empty_season_says_what_to_do_first(client, office):
    page = client.get(LIST).text

    assert "Nothing can be sold yet." in page
    assert reverse("orders:rounds") in page


def test_with_round_and_price_the_first_order_can_be_taken(client, office, on_sale):
    page = client.get(LIST).text

    assert "No orders in this season yet." in page
    assert reverse("orders:new") in page


def test_the_list_says_who_asked_for_what_and_how_it_stands(client, office, on_sale):
    order = OrderFactory(season=on_sale.season, number="2027-0042", buyer__name="Willa Marsh", deposit_due_cents=15000)
    LineFactory(order=order, state="waiting")

    page = client.get(LIST).text

    for words in ("2027-0042", "Willa Marsh", "2 × 5-frame spring nuc, first round", "waiting", "590.00", "150.00"):
        assert words in page, words
    assert "awaited, 26 Jan" in page


def test_a_deposit_past_its_day_is_overdue(client, office, on_sale):
    LineFactory(order=OrderFactory(season=on_sale.season, placed_on=date(2026, 12, 1)))

    assert "overdue, 15 Dec" in client.get(LIST).text


def test_the_list_is_narrowed_by_round_kind_state_deposit_and_words(client, office, on_sale):
    season = on_sale.season
    four = NucKindFactory(code="spring-4", name="4-frame spring nuc", frames=4, sale_covered=3, sale_brood=2)
    second = RoundFactory(season=season, name="second round")
    mixed = OrderFactory(season=season, number="2027-0001", buyer=BuyerFactory(name="Čížek", search_key="cizek"))
    LineFactory(order=mixed, state="waiting")
    LineFactory(order=mixed, state="promised", round=second, kind=four)
    paid = OrderFactory(
        season=season, number="2027-0002", deposit_complete_at=datetime(2027, 1, 5, tzinfo=UTC), notes="two trips"
    )
    LineFactory(order=paid, state="promised")
    yard = YardFactory(is_pickup_yard=True)
    late = OrderFactory(season=season, number="2027-0003", placed_on=date(2026, 11, 1), pickup_yard=yard)
    LineFactory(order=late, state="cancelled")
    LineFactory(order=late, state="asked")
    numbers = ("2027-0001", "2027-0002", "2027-0003")

    assert shown(client, *numbers) == list(numbers)
    assert shown(client, *numbers, round=second.pk) == ["2027-0001"]
    assert shown(client, *numbers, state="promised") == ["2027-0001", "2027-0002"]
    # One line must be all of it: the waiting line is of the first round.
    assert shown(client, *numbers, state="waiting", round=second.pk) == []
    assert shown(client, *numbers, kind=four.pk, state="promised") == ["2027-0001"]
    assert shown(client, *numbers, deposit="complete") == ["2027-0002"]
    assert shown(client, *numbers, deposit="awaited") == ["2027-0001", "2027-0003"]
    assert shown(client, *numbers, deposit="overdue") == ["2027-0003"]
    assert shown(client, *numbers, text="cížek") == ["2027-0001"]
    assert shown(client, *numbers, text="0002") == ["2027-0002"]
    assert shown(client, *numbers, text="two trips") == ["2027-0002"]
    assert shown(client, *numbers, pickup_yard=yard.pk) == ["2027-0003"]


@pytest.mark.parametrize("name", ["round", "kind", "state", "deposit", "pickup_yard"])
def test_a_choice_that_is_none_leaves_the_list_standing(client, office, on_sale, name):
    assert client.get(LIST, {name: "none of these"}).status_code == 200


def test_totals_are_those_of_the_narrowed_list(client, office, on_sale):
    for name, nucs in (("Ada Firth", 1), ("Bram Tarrant", 3)):
        order = OrderFactory(season=on_sale.season, buyer__name=name, deposit_due_cents=7500 * nucs)
        LineFactory(order=order, quantity=nucs)

    response = client.get(LIST, {"text": "Bram"})

    assert response.context["table"].totals == {"nucs": 3, "total_cents": 88500, "deposit_due_cents": 22500}


def test_the_list_sorts_by_nucs_and_keeps_the_filter(client, office, on_sale):
    for nucs in (1, 3, 2):
        LineFactory(order=OrderFactory(season=on_sale.season), quantity=nucs)

    response = client.get(LIST, {"sort": "-nucs", "state": "asked"})

    assert [order.nucs for order in response.context["table"].records] == [3, 2, 1]
    assert 'name="sort" value="-nucs"' in response.text


def test_the_list_is_saved_as_a_file(client, office, on_sale):
    order = OrderFactory(season=on_sale.season, number="2027-0042", buyer__name="=HYPERLINK(1)")
    LineFactory(order=order)

    response = client.get(LIST, {"export": "csv"})

    assert response["Content-Disposition"] == 'attachment; filename="orders-2027.csv"'
    rows = response.content.decode("utf-8-sig").splitlines()
    assert rows[1].startswith("2027-0042,2027-01-12,'=HYPERLINK(1),")
    assert ",590.00,75.00,awaited" in rows[1]


def test_twenty_orders_ask_the_database_no_more_than_two(client, office, on_sale, django_assert_max_num_queries):
    for _ in range(20):
        LineFactory(order=OrderFactory(season=on_sale.season))

    with django_assert_max_num_queries(14):
        client.get(LIST)


def test_the_gate_reads_the_list_but_takes_no_orders(client, on_sale):
    client.force_login(UserFactory(gate=True))

    page = client.get(LIST)

    assert page.status_code == 200
    assert reverse("orders:new") not in page.text
