from datetime import date

import pytest
from django.urls import reverse

from apiary_ops.books import services
from apiary_ops.books.services import Posting
from tests.factories.books import PeriodFactory
from tests.factories.business import BusinessFactory, SeasonFactory
from tests.factories.people import UserFactory

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("chart")]


@pytest.fixture
def keeper(client):
    BusinessFactory()
    SeasonFactory()
    PeriodFactory()
    user = UserFactory(bookkeeper=True)
    client.force_login(user)
    return user


@pytest.fixture
def entry(keeper):
    return services.post_entry(
        source="order:2027-0001",
        purpose="deposit",
        posted_on=date(2027, 1, 9),
        season_id=SeasonFactory().pk,
        memo="Deposit of Willa Marsh",
        postings=[Posting("bank", 75_00), Posting("deposits-held", -75_00, subject="order:2027-0001")],
        actor=keeper,
    )


def test_an_entry_shows_both_sides_and_where_it_comes_from(client, entry, keeper):
    page = client.get(reverse("books:entry", args=[entry.pk]))

    assert page.status_code == 200
    for words in ("Deposit of Willa Marsh", "Sat 9 Jan 2027", "1010 Bank", "2020 Deposits held", "75.00", "Jan 2027"):
        assert words in page.text, words
    assert keeper.full_name in page.text


def test_an_entry_and_its_reversal_lead_to_each_other(client, entry):
    reversal = services.reverse_entry(entry_id=entry.pk, reversed_on=date(2027, 1, 10), memo="Mistaken", actor=None)

    assert reverse("books:entry", args=[reversal.pk]) in client.get(reverse("books:entry", args=[entry.pk])).text
    assert reverse("books:entry", args=[entry.pk]) in client.get(reverse("books:entry", args=[reversal.pk])).text


def test_an_entry_that_is_not_there_is_not_found(client, keeper):
    assert client.get(reverse("books:entry", args=[9])).status_code == 404
