import pytest
from django.urls import reverse

from apiary_ops.people import services
from tests.factories.business import BusinessFactory, SeasonFactory
from tests.factories.people import UserFactory

pytestmark = pytest.mark.django_db
PASSWORD = "nine frames of brood"


@pytest.fixture
def clerk():
    BusinessFactory()
    SeasonFactory()
    user = UserFactory(username="clerk", office=True)
    user.set_password(PASSWORD)
    user.save()
    return user


def sign_in(client, username, password):
    return client.post(reverse("people:sign-in"), {"username": username, "password": password})


def test_the_right_password_opens_the_desk(client, clerk):
    response = sign_in(client, "clerk", PASSWORD)

    assert response.url == reverse("desk:home")
    assert client.get(response.url).status_code == 200


def test_a_wrong_password_and_an_unknown_name_read_the_same(client, clerk):
    wrong = sign_in(client, "clerk", "not the password")
    unknown = sign_in(client, "nobody", "not the password")

    assert wrong.status_code == unknown.status_code == 200
    assert wrong.context["form"].non_field_errors() == unknown.context["form"].non_field_errors()


def test_the_ninth_try_waits_even_with_the_right_password(client, clerk):
    for _ in range(8):
        sign_in(client, "clerk", "not the password")

    response = sign_in(client, "clerk", PASSWORD)

    assert response.status_code == 429
    assert "Try again in a quarter of an hour" in response.text


def test_a_new_password_signs_its_person_out_everywhere(client, clerk):
    sign_in(client, "clerk", PASSWORD)
    owner = UserFactory()

    services.edit_user(
        user_id=clerk.pk, full_name="Clerk", role="office", is_active=True, password="ten frames of brood", actor=owner
    )

    assert client.get(reverse("desk:home")).status_code == 302


def test_sign_out_is_a_post(client, clerk):
    client.force_login(clerk)

    assert client.get(reverse("people:sign-out")).status_code == 405
    assert client.post(reverse("people:sign-out")).status_code == 302
    assert client.get(reverse("desk:home")).status_code == 302


def test_the_sign_in_name_is_called_the_same_everywhere(client, clerk):
    assert "Sign-in name" in client.get(reverse("people:sign-in")).text
