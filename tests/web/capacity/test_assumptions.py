"""The owner changes what a season assumes; a value no season can have is refused beside its field."""

import pytest
from django.urls import reverse

from apiary_ops.capacity.models import Assumptions
from tests.factories.capacity import AssumptionsFactory

pytestmark = pytest.mark.django_db

PAGE = reverse("capacity:assumptions")
STATED = {
    "version": 1,
    "low_shift_days": 14,
    "middle_shift_days": 0,
    "high_shift_days": -7,
    "keep_bees_frames": "7",
    "keep_brood_frames": "3.5",
    "nucs_per_person_day": 20,
    "release_percent": 100,
}


def test_each_assumption_stands_with_its_range_and_source(client, season, sign_in):
    sign_in()

    page = client.get(PAGE)

    assert page.status_code == 200
    assert "0 to 35 days. Common practice: between a usual late spring of 7 and a bad year of 14 to 21." in page.text
    assert "Schmickl &amp; Crailsheim 2007" in page.text


def test_a_change_is_saved_for_the_season(client, season, sign_in):
    sign_in()

    page = client.post(PAGE, STATED | {"release_percent": 70}, follow=True)

    assert "Saved. Recompute to see what it changes." in page.text
    assert Assumptions.objects.get(season=season).release_percent == 70


def test_a_value_out_of_range_is_refused_beside_its_field(client, season, sign_in):
    sign_in()

    page = client.post(PAGE, STATED | {"low_shift_days": 99})

    assert page.status_code == 422
    assert "Ensure this value is less than or equal to 35." in page.text
    assert 'value="99"' in page.text


def test_springs_out_of_order_are_refused(client, season, sign_in):
    sign_in()

    page = client.post(PAGE, STATED | {"low_shift_days": 2, "middle_shift_days": 5})

    assert page.status_code == 422
    assert "Put them in that order." in page.text


def test_a_form_someone_overtook_shows_both_values(client, season, sign_in):
    sign_in()
    AssumptionsFactory(season=season, low_shift_days=21, version=2)

    page = client.post(PAGE, STATED)

    assert page.status_code == 422
    assert "Now stands as: 21" in page.text
