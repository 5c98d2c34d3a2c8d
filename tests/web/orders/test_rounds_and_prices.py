import pytest
from django.urls import reverse

from apiary_ops.orders.models import Price, Round
from tests.factories.business import TaxCategoryFactory
from tests.factories.nucs import NucKindFactory
from tests.factories.orders import LineFactory, OrderFactory, RoundFactory
from tests.factories.people import UserFactory

pytestmark = pytest.mark.django_db


def test_rounds_and_prices_stand_on_one_page(client, office, on_sale):
    LineFactory(order=OrderFactory(season=on_sale.season), quantity=7)

    response = client.get("/orders/rounds/")

    assert [round_.nucs for round_ in response.context["rounds"].records] == [7]
    for words in ("first round", "Mon 31 May 2027", "5-frame spring nuc", "everyone", "295.00", "zero rated"):
        assert words in response.text, words


def test_a_round_is_opened(client, office):
    fields = {"name": "second", "starts_on": "2027-06-21", "ends_before": "2027-07-12"}

    assert client.get("/orders/rounds/open/").status_code == 200
    assert client.post("/orders/rounds/open/", fields).status_code == 302

    assert Round.objects.get().name == "second"


def test_broken_weeks_are_refused_beside_the_day(client, office):
    fields = {"name": "second", "starts_on": "2027-06-22", "ends_before": "2027-07-12"}

    response = client.post("/orders/rounds/open/", fields)

    assert response.status_code == 422
    assert response.context["form"].errors["starts_on"] == [
        "A round starts on a Monday and ends before a Monday. Choose Mondays."
    ]


def test_a_name_that_is_taken_is_refused_beside_the_name(client, office, season):
    RoundFactory(season=season)
    fields = {"name": "first round", "starts_on": "2027-06-21", "ends_before": "2027-07-12"}

    response = client.post("/orders/rounds/open/", fields)

    assert "already has a round called first round" in response.context["form"].errors["name"][0]


def test_a_round_with_promises_keeps_its_weeks(client, office, on_sale):
    line = LineFactory(order=OrderFactory(season=on_sale.season), state="promised")
    url = reverse("orders:round-edit", args=[line.round_id])
    fields = {"name": "early", "starts_on": "2027-05-31", "ends_before": "2027-06-21", "version": 1}

    renamed = client.post(url, fields)
    moved = client.post(url, fields | {"starts_on": "2027-06-07", "version": 2})

    assert renamed.status_code == 302
    assert moved.status_code == 422
    assert "promised these weeks" in moved.text


def test_a_price_is_set_from_a_day_on(client, office, season):
    kind, category = NucKindFactory(), TaxCategoryFactory()
    fields = {
        "kind": kind.pk,
        "tier": "wholesale",
        "price": "1,230.50",
        "tax_category": category.pk,
        "valid_from": "2027-01-12",
    }

    assert client.get("/orders/prices/set/").status_code == 200
    assert client.post("/orders/prices/set/", fields).status_code == 302

    price = Price.objects.get()
    assert (price.cents, price.tier, price.season) == (123050, "wholesale", season)


@pytest.mark.parametrize(
    ("price", "refusal"),
    # Nothing can be invoiced at 0.00, so such a nuc could never be handed over.
    [("-1", "The amount cannot be below zero."), ("0", "The amount must be more than zero.")],
)
def test_a_price_of_nothing_or_less_is_refused_beside_the_field(client, office, season, price, refusal):
    fields = {
        "kind": NucKindFactory().pk,
        "price": price,
        "tax_category": TaxCategoryFactory().pk,
        "valid_from": "2027-01-12",
    }

    response = client.post("/orders/prices/set/", fields)

    assert response.status_code == 422
    assert response.context["form"].errors["price"] == [refusal]


def test_the_bookkeeper_reads_prices_and_sets_none(client, on_sale):
    client.force_login(UserFactory(bookkeeper=True))

    assert reverse("orders:price-set") not in client.get("/orders/rounds/").text
    assert client.get(reverse("orders:price-set")).status_code == 403


NO_CATEGORY = "No tax category is written down yet. The owner adds one under Settings; then set the price."


def test_a_price_on_a_new_desk_says_what_comes_first(client, office, season):
    before = client.get("/orders/prices/set/").text
    TaxCategoryFactory()
    after = client.get("/orders/prices/set/").text

    assert NO_CATEGORY in before
    assert NO_CATEGORY not in after
