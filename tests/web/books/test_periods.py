from datetime import date

import pytest
from django.urls import reverse

from apiary_ops.books import queries, services
from apiary_ops.books.models import Period
from tests.factories.business import BusinessFactory, SeasonFactory
from tests.factories.people import UserFactory

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("chart")]


@pytest.fixture
def owner(client):
    BusinessFactory()
    SeasonFactory()
    user = UserFactory()
    client.force_login(user)
    return user


@pytest.fixture
def year(owner):
    return services.open_fiscal_year(year=2027, starts_on=date(2026, 10, 1))


def test_without_a_fiscal_year_the_page_says_what_to_do_first(client, owner):
    page = client.get(reverse("books:periods"))

    assert page.status_code == 200
    assert "Nothing can be posted until the owner opens the first one." in page.text


def test_a_fiscal_year_is_opened(client, owner):
    response = client.post(reverse("books:open-year"), {"year": 2027, "starts_on": "2026-10-01"}, follow=True)

    assert "it has twelve periods" in response.content.decode()
    assert Period.objects.count() == 12


def test_a_year_that_starts_inside_a_month_is_refused_beside_the_field(client, owner):
    response = client.post(reverse("books:open-year"), {"year": 2027, "starts_on": "2026-10-02"})

    assert response.status_code == 422
    assert "A fiscal year starts on the first of a month." in response.text


def test_a_year_opened_twice_is_refused(client, year):
    response = client.post(reverse("books:open-year"), {"year": 2027, "starts_on": "2027-10-01"})

    assert response.status_code == 422
    assert "The fiscal year 2027 is already there" in response.text


def test_a_period_is_locked_after_being_asked(client, year, owner):
    question = client.get(reverse("books:lock", args=[year[0].pk]))
    assert "This cannot be taken back." in question.text

    response = client.post(reverse("books:lock", args=[year[0].pk]), follow=True)

    assert "Oct 2026 is locked." in response.content.decode()
    assert Period.objects.get(pk=year[0].pk).locked_by == owner
    assert "Lock Oct 2026" not in response.content.decode()
    assert "Lock Nov 2026" in response.content.decode()


def test_a_period_locked_by_someone_else_meanwhile_says_so(client, year, owner):
    services.lock_period(period_id=year[0].pk, actor=owner)

    response = client.post(reverse("books:lock", args=[year[0].pk]), follow=True)

    assert "This period was locked on" in response.content.decode()


def test_a_year_is_closed(client, year, post):
    post("order:1", 75_00, credit="nuc-sales", on=date(2026, 10, 5))

    response = client.post(reverse("books:close-year", args=[2027]), follow=True)

    assert "The fiscal year 2027 is closed." in response.content.decode()
    assert queries.balance("retained-earnings") == -75_00


def test_an_empty_year_is_not_closed(client, year):
    response = client.post(reverse("books:close-year", args=[2027]), follow=True)

    assert "no income or expense to close" in response.content.decode()


def test_a_bookkeeper_sees_the_periods_but_locks_nothing(client, year):
    client.force_login(UserFactory(bookkeeper=True))

    page = client.get(reverse("books:periods"))

    assert "Oct 2026" in page.text
    assert "Lock Oct 2026" not in page.text
    assert client.post(reverse("books:lock", args=[year[0].pk])).status_code == 403
