import pytest
from django.urls import reverse

from apiary_ops.people.models import User
from tests.factories.business import BusinessFactory
from tests.factories.people import UserFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def owner(client):
    BusinessFactory()
    user = UserFactory(username="owner", full_name="Mara Owner")
    client.force_login(user)
    return user


def test_the_list_names_everyone_with_role_and_sign_in(client, owner):
    UserFactory(full_name="Ib Barred", crew=True, is_active=False)

    page = client.get(reverse("people:list")).text

    assert "Ib Barred" in page
    assert "Yard crew" in page
    assert "barred" in page


def test_a_person_is_added_with_a_role(client, owner):
    fields = {"username": "tove", "full_name": "Tove", "role": "gate", "password": "the lid is on the box"}

    response = client.post(reverse("people:add"), fields)

    assert response.status_code == 302
    assert User.objects.get(username="tove").role == "gate"


def test_a_name_already_taken_is_refused_and_what_was_typed_stays(client, owner):
    fields = {"username": "OWNER", "full_name": "Tove", "role": "gate", "password": "the lid is on the box"}

    response = client.post(reverse("people:add"), fields)

    assert response.status_code == 422
    assert "Someone already signs in as OWNER" in response.text
    assert 'value="Tove"' in response.text


def test_a_common_password_is_refused_with_the_reason(client, owner):
    fields = {"username": "tove", "full_name": "Tove", "role": "gate", "password": "q1w2e3r4t5y6"}

    response = client.post(reverse("people:add"), fields)

    assert response.status_code == 422
    assert "This password is too common." in response.text
    assert not User.objects.filter(username="tove").exists()


def test_the_last_owner_cannot_step_down(client, owner):
    fields = {"full_name": "Mara", "role": "office", "is_active": "on", "password": ""}

    response = client.post(reverse("people:edit", args=[owner.pk]), fields)

    assert response.status_code == 422
    assert "only owner" in response.text
