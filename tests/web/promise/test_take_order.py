"""Take this order? Room by round, and what it rests on."""

from datetime import UTC, datetime

import pytest
from django.urls import reverse

from apiary_ops.promise import services
from tests.factories.orders import LineFactory, RoundFactory

pytestmark = pytest.mark.django_db

PAGE = reverse("promise:take-order")


def test_without_a_forecast_the_page_says_what_to_do_first(client, season, round_, kind, sign_in):
    sign_in(office=True)

    page = client.get(PAGE)

    assert page.status_code == 200
    assert "No forecast is made yet. Press “Recompute” under Capacity first." in page.text


def test_without_rounds_the_page_says_what_to_do_first(client, season, kind, forecast, sign_in):
    sign_in(office=True)

    page = client.get(PAGE)

    assert "Open the rounds of this season" in page.text


def test_the_decision_has_its_figures(client, season, round_, forecast, ask, sign_in):
    sign_in(office=True)
    paid = ask(2, state="promised")
    paid.order.deposit_complete_at = datetime(2027, 1, 20, tzinfo=UTC)
    paid.order.save()
    ask(3, state="promised")
    ask(20, state="waiting")

    page = client.get(PAGE)
    rows = client.get(PAGE, {"export": "csv"}).content.decode("utf-8-sig").splitlines()

    assert rows == [
        'Round,Kind,Room,Promised,"Of these, deposit paid",Waiting,At risk',
        "first round,5-frame spring nuc,3,5,2,20,0",
    ]
    assert "14 days late" in page.text
    assert "Fri 9 Apr" in page.text
    assert "100 % of colonies seen" in page.text
    assert "nucs; deposit paid for 2" in page.text
    assert "first round, 5-frame spring nuc: room for 3" in page.text
    assert "Queens that no longer lay at sale, by kind" in page.text


def test_a_round_that_cannot_be_kept_stands_out(client, season, kind, round_, forecast, ask, sign_in):
    sign_in(office=True)
    ask(11, state="promised")

    page = client.get(PAGE)

    assert '<tr class="tone-broken">' in page.text
    assert "−11" in page.text
    assert "Promised beyond what a late spring gives" in page.text


def test_more_rounds_ask_the_database_no_more(client, season, kind, forecast, sign_in, django_assert_max_num_queries):
    sign_in(office=True)
    for number in range(20):
        LineFactory(round=RoundFactory(season=season, name=f"round {number}"), kind=kind, order__season=season)
    services.refresh_releases(season_id=season.pk, today=forecast.today)

    with django_assert_max_num_queries(40):
        assert client.get(PAGE).status_code == 200


def test_the_office_promises_all_who_paid_in_turn(client, season, round_, forecast, ask, sign_in):
    sign_in(office=True)
    line = ask(2, state="asked")
    line.order.deposit_complete_at = datetime(2027, 1, 20, tzinfo=UTC)
    line.order.save()

    assert "Promise 1 line in turn" in client.get(PAGE).text
    page = client.post(reverse("promise:in-turn"), follow=True)

    assert "1 line was promised; 0 wait for room." in page.text
    line.refresh_from_db()
    assert line.state == "promised"
