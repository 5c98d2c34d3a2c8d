from datetime import UTC, date, datetime

import pytest
from django.urls import reverse

from apiary_ops.orders import services
from tests.factories.nucs import NucKindFactory
from tests.factories.orders import LineFactory, OrderFactory
from tests.factories.yards import YardFactory

pytestmark = pytest.mark.django_db


def test_the_page_says_everything_that_was_agreed(client, office, on_sale):
    order = OrderFactory(
        season=on_sale.season,
        number="2027-0042",
        buyer__name="Willa Marsh",
        deposit_due_cents=15000,
        notes="Rings after six.",
        pickup_yard=YardFactory(name="Mill Lane yard", is_pickup_yard=True),
    )
    line = LineFactory(order=order, state="promised", part_loads=True)
    line.substitutes.set([NucKindFactory(code="over-5", name="overwintered nuc")])

    page = client.get(reverse("orders:order", args=["2027-0042"])).text

    for words in (
        "Willa Marsh",
        "promised",
        "or overwintered nuc",
        "may come in parts",
        "590.00",
        "150.00 CAD",
        "due by Tue 26 Jan 2027",
        "Mill Lane yard",
        "Rings after six.",
        "75.00 a nuc holds your place",
        "Mon 1 Mar 2027",
    ):
        assert words in page, words


def test_a_complete_deposit_says_since_when(client, office, on_sale):
    order = OrderFactory(season=on_sale.season, deposit_complete_at=datetime(2027, 1, 10, 15, 30, tzinfo=UTC))
    LineFactory(order=order)

    assert "complete since Sun 10 Jan 2027, 11:30" in client.get(reverse("orders:order", args=[order.number])).text


def test_a_cancelled_line_says_when_and_why(client, office, on_sale):
    line = LineFactory(order=OrderFactory(season=on_sale.season))
    services.cancel_line(line_id=line.pk, on=date(2027, 1, 12), reason="moved <b>away</b>", actor=office)

    page = client.get(reverse("orders:order", args=[line.order.number])).text

    assert "Tue 12 Jan 2027: moved &lt;b&gt;away&lt;/b&gt;" in page


def test_changes_of_lines_and_order_are_told_in_words(client, office, on_sale):
    order = OrderFactory(season=on_sale.season, deposit_due_cents=15000)
    line = LineFactory(order=order)
    services.cancel_line(line_id=line.pk, on=date(2027, 1, 12), reason="", actor=office)

    history = client.get(reverse("orders:order", args=[order.number])).context["history"]

    told = [(row.what, change.label, change.before, change.after) for row in history for change in row.changes]
    assert ("2 × 5-frame spring nuc", "state", "asked", "cancelled") in told
    assert ("Changed", "deposit asked", "150.00 CAD", "0.00 CAD") in told


def test_ten_lines_ask_the_database_a_bounded_number_of_times(client, office, on_sale, django_assert_max_num_queries):
    order = OrderFactory(season=on_sale.season)
    for _ in range(10):
        LineFactory(order=order)

    with django_assert_max_num_queries(40):
        client.get(reverse("orders:order", args=[order.number]))


def test_an_unknown_number_is_not_found(client, office, on_sale):
    assert client.get(reverse("orders:order", args=["2027-9999"])).status_code == 404


def test_place_and_notes_can_be_changed(client, office, on_sale):
    order = OrderFactory(season=on_sale.season)
    yard = YardFactory(is_pickup_yard=True)
    url = reverse("orders:order-edit", args=[order.number])

    assert client.get(url).status_code == 200
    client.post(url, {"pickup_yard": yard.pk, "notes": "two trips", "version": 1})

    order.refresh_from_db()
    assert (order.pickup_yard, order.notes) == (yard, "two trips")


def test_a_stale_change_is_refused_and_shows_what_stands(client, office, on_sale):
    order = OrderFactory(season=on_sale.season, notes="theirs", version=2)

    response = client.post(
        reverse("orders:order-edit", args=[order.number]), {"pickup_yard": "", "notes": "mine", "version": 1}
    )

    assert response.status_code == 422
    assert "Now stands as: theirs" in response.text
    assert "mine" in response.text
