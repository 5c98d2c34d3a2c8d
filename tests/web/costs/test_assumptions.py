import pytest
from django.urls import reverse

from apiary_ops.costs.models import CostAssumptions

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("keeper")]
STATED = {"version": 1, "bees_share_percent": "60", "pooled_driver": "nucs made", "own_hours": "120", "own_hour": "25"}


def test_the_page_shows_what_is_assumed_and_that_it_is_an_assumption(client):
    page = client.get(reverse("costs:assumptions"))

    assert page.status_code == 200
    assert 'value="50.0"' in page.text
    assert "Yours to state: no source gives these numbers." in page.text


def test_assumptions_are_stated(client):
    answer = client.post(reverse("costs:assumptions"), STATED)

    assert answer.status_code == 302
    stated = CostAssumptions.objects.get()
    assert (stated.bees_share_percent, stated.pooled_driver) == (60, "nucs made")
    assert (stated.own_hours, stated.own_hour_cents, stated.honey_given_up_cents) == (120, 2500, None)


def test_a_share_above_a_hundred_is_refused_beside_its_field(client):
    page = client.post(reverse("costs:assumptions"), STATED | {"bees_share_percent": "101"})

    assert page.status_code == 422
    assert page.context["form"].errors["bees_share_percent"] == ["Ensure this value is less than or equal to 100."]


def test_a_form_opened_before_another_save_shows_both_values(client):
    client.post(reverse("costs:assumptions"), STATED)

    page = client.post(reverse("costs:assumptions"), STATED | {"bees_share_percent": "30"})

    assert page.status_code == 422
    assert page.context["form"].errors["bees_share_percent"] == ["Now stands as: 60.0"]
