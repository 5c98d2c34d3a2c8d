from datetime import date

import pytest
from django.urls import reverse

from apiary_ops.business.models import Season
from tests.factories.business import BusinessFactory, SeasonFactory
from tests.factories.people import UserFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def owner(client):
    BusinessFactory()
    user = UserFactory()
    client.force_login(user)
    return user


def test_a_season_is_opened(client, owner):
    fields = {"year": 2028, "starts_on": "2027-09-01", "ends_before": "2028-09-01"}

    assert client.post(reverse("business:season-add"), fields).status_code == 302

    assert date(2028, 5, 1) in Season.objects.get(year=2028)


def test_days_of_another_season_are_refused_with_its_name(client, owner):
    SeasonFactory()
    fields = {"year": 2028, "starts_on": "2027-08-01", "ends_before": "2028-09-01"}

    response = client.post(reverse("business:season-add"), fields)

    assert response.status_code == 422
    assert "These days overlap the season 2027 (Tue 1 Sep 2026 to Tue 31 Aug 2027)." in response.text


def test_a_season_that_ends_before_it_starts_is_refused_beside_the_field(client, owner):
    fields = {"year": 2028, "starts_on": "2028-09-01", "ends_before": "2027-09-01"}

    response = client.post(reverse("business:season-add"), fields)

    assert response.context["form"].errors["ends_before"] == ["A season ends after it starts."]


def test_the_chosen_season_stays_chosen(client, owner):
    SeasonFactory()
    SeasonFactory(year=2028)

    client.get(reverse("business:season-choose", args=[2027]))

    assert client.get(reverse("business:season-list")).context["shell"].season.year == 2027


def test_choosing_a_season_never_leads_to_another_site(client, owner):
    SeasonFactory()

    response = client.get(reverse("business:season-choose", args=[2027]), HTTP_REFERER="https://elsewhere.example/")

    assert response.url == reverse("desk:home")
