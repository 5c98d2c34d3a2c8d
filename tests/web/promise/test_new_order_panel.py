"""Beside an order being taken stands what may still be promised."""

import pytest
from django.urls import reverse

from tests.factories.business import TermsFactory
from tests.factories.orders import BuyerFactory, PriceFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def form(season, kind):
    TermsFactory()
    PriceFactory(season=season, kind=kind)
    return reverse("orders:place", args=[BuyerFactory().pk])


@pytest.mark.usefixtures("forecast")
def test_the_room_of_each_round_stands_beside_the_order(client, form, round_, ask, sign_in):
    sign_in(office=True)
    ask(3, state="waiting")

    page = client.get(form).text

    assert "Take this order?" in page
    assert "<strong>8</strong>" in page
    assert "3 wait" in page


def test_without_a_forecast_it_says_what_to_do_first(client, form, round_, sign_in):
    sign_in(office=True)

    assert "No forecast is made yet." in client.get(form).text
