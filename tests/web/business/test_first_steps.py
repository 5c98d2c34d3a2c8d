import pytest
from django.urls import reverse

from tests.factories.business import BusinessFactory
from tests.factories.people import UserFactory

pytestmark = pytest.mark.django_db


def test_without_a_business_every_page_says_what_to_do_first(client):
    client.force_login(UserFactory())

    response = client.get(reverse("desk:home"))

    assert response.status_code == 503
    assert "manage.py set_up" in response.text


def test_without_a_season_the_owner_is_shown_where_to_open_one(client):
    BusinessFactory()
    client.force_login(UserFactory())

    assert reverse("business:season-add") in client.get(reverse("desk:home")).text
    assert client.get(reverse("business:season-add")).status_code == 200


def test_without_a_season_others_are_told_whom_to_ask(client):
    BusinessFactory()
    client.force_login(UserFactory(crew=True))

    assert "Ask the owner" in client.get(reverse("desk:home")).text
