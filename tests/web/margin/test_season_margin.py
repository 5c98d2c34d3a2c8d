from datetime import date

import pytest
from django.urls import reverse

from apiary_ops.books.services import Posting, post_entry
from tests.factories.books import PeriodFactory
from tests.factories.business import BusinessFactory, SeasonFactory
from tests.factories.people import UserFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def keeper(client, chart, time_machine):
    """A bookkeeper at the desk in April, before any nuc is made."""
    time_machine.move_to("2027-04-12 15:00+00:00")
    BusinessFactory()
    SeasonFactory()
    PeriodFactory()
    user = UserFactory(bookkeeper=True)
    client.force_login(user)
    return user


def test_before_the_first_pickup_the_page_says_what_is_missing(client, keeper):
    page = client.get(reverse("margin:season"))

    assert page.status_code == 200
    assert "No nuc has been handed over this season." in page.text
    assert "The books hold no expense of this season yet." in page.text


def test_costs_of_the_winter_wait_with_their_reason(client, keeper):
    post_entry(
        source="manual:sugar",
        purpose="manual",
        posted_on=date(2026, 10, 1),
        season_id=SeasonFactory().pk,
        memo="Sugar",
        postings=[Posting("autumn-feed", 780_01), Posting("bank", -780_01)],
        actor=keeper,
    )

    page = client.get(reverse("margin:season")).text

    assert "waits until nucs are made; stays with the colonies" in page
    assert "780.01 CAD" in page
    assert "agrees" in page


def test_assumptions_are_shown_as_such(client, keeper):
    page = client.get(reverse("margin:season")).text

    assert "Stated by you; no published source." in page
    assert "50 %" in page
    assert page.count("not stated") == 2
