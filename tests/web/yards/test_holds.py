"""Holds: seen by crew and gate, ended by the office with a reason."""

from datetime import date
from uuid import uuid4

import pytest
from django.urls import reverse

from apiary_ops.yards.models import Hold
from tests.factories.people import UserFactory
from tests.factories.yards import ColonyFactory, HoldFactory

pytestmark = pytest.mark.django_db


def test_the_gate_sees_what_is_on_hold(client, yard):
    client.force_login(UserFactory(gate=True))
    HoldFactory(yard=yard, reason="disease suspected in C0001")

    page = client.get(reverse("yards:hold-list")).text

    assert "disease suspected in C0001" in page
    assert "the whole yard" in page
    assert "Ask the inspector." in page
    assert "End it" not in page


def test_a_yard_is_put_on_hold(client, crew, yard, today):
    fields = {"reason": "sprayed field", "starts_on": "2027-04-12", "once_key": uuid4()}

    response = client.post(reverse("yards:hold-add", args=["mill-lane"]), fields, follow=True)

    hold = Hold.objects.get()
    assert (hold.yard, hold.colony, hold.reason, hold.starts_on) == (yard, None, "sprayed field", today)
    assert "Mill Lane is on hold. Nothing leaves until the hold ends." in response.text


def test_one_colony_is_put_on_hold(client, crew, yard):
    colony = ColonyFactory(yard=yard, tag="C0001")
    fields = {"reason": "odd brood", "starts_on": "2027-04-12", "colony": "C0001", "once_key": uuid4()}

    client.post(reverse("yards:hold-add", args=["mill-lane"]), fields)

    assert Hold.objects.get().colony == colony


def test_a_hold_without_a_reason_is_refused(client, crew, yard):
    fields = {"reason": " ", "starts_on": "2027-04-12", "once_key": uuid4()}

    response = client.post(reverse("yards:hold-add", args=["mill-lane"]), fields)

    assert response.status_code == 422
    assert response.context["form"].errors["reason"] == ["This field is required."]


def test_the_office_ends_a_hold_with_its_reason(client, office, yard, today):
    hold = HoldFactory(yard=yard, starts_on=date(2027, 4, 10))
    url = reverse("yards:hold-lift", args=[hold.pk])

    page = client.get(url).text
    response = client.post(url, {"on": "2027-04-12", "because": "inspector found nothing"})

    hold.refresh_from_db()
    assert "End it only when the inspector agrees" in page
    assert response.url == reverse("yards:hold-list")
    assert (hold.ended_on, hold.ended_because) == (today, "inspector found nothing")


def test_a_hold_does_not_end_before_it_began(client, office, yard):
    hold = HoldFactory(yard=yard, starts_on=date(2027, 4, 10))

    response = client.post(reverse("yards:hold-lift", args=[hold.pk]), {"on": "2027-04-09", "because": "clear"})

    assert response.status_code == 422
    assert response.context["form"].errors["on"] == ["The hold began on Sat 10 Apr 2027. It cannot end before."]


def test_crew_does_not_end_a_hold(client, crew, yard):
    hold = HoldFactory(yard=yard)

    assert client.get(reverse("yards:hold-lift", args=[hold.pk])).status_code == 403
