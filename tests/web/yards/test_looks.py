"""The look entry: one colony a screen, without a script, without a keyboard."""

from decimal import Decimal
from uuid import uuid4

import pytest
from django.urls import reverse

from apiary_ops.yards.models import Hold, Look
from tests.factories.yards import ColonyFactory, LookFactory, VisitFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def visit(yard):
    return VisitFactory(yard=yard, temperature_c=Decimal(6))


@pytest.fixture
def colonies(yard):
    return [ColonyFactory(yard=yard, tag=f"A{position}", position=position) for position in (1, 2, 3)]


def at(visit, tag):
    return reverse("yards:look", args=[visit.pk, tag])


def tap(client, visit, tag, **taps):
    return client.post(at(visit, tag), {"once_key": uuid4()} | taps)


def test_a_colony_has_its_screen_with_place_progress_and_last_look(client, crew, yard, visit, colonies, third_of_april):
    earlier = VisitFactory(yard=yard, on=third_of_april.replace(month=3))
    LookFactory(visit=earlier, colony=colonies[1], below_halves=9, queen="spotty")

    page = client.get(at(visit, "A2")).text

    assert "2 · A2" in page
    assert "0 of 3 looked at" in page
    assert "Last: 4.5 frames, Wed 3 Mar 2027 · spotty brood" in page.replace("\n", " ").replace("  ", " ")
    assert f'href="{at(visit, "A1")}"' in page  # back
    assert f'href="{at(visit, "A3")}"' in page  # skip
    assert page.count('name="below_halves"') == 22


def test_next_saves_and_goes_on(client, crew, visit, colonies):
    response = tap(client, visit, "A1", below_halves="11", lower_box="few", patty="gone")

    look = Look.objects.get()
    assert response.url == at(visit, "A2")
    assert (look.colony, look.below_halves, look.lower_box, look.patty) == (colonies[0], 11, "few", "gone")
    assert (look.above_halves, look.queen, look.sealed_halves) == (None, "", None)


def test_the_last_colony_leads_to_the_visit(client, crew, visit, colonies):
    response = tap(client, visit, "A3", below_halves="0")

    assert response.url == reverse("yards:visit", args=[visit.pk])
    assert Look.objects.get().below_halves == 0


def test_next_without_a_tap_is_refused(client, crew, visit, colonies):
    response = tap(client, visit, "A1")

    assert response.status_code == 422
    assert "Nothing was noted of A1. Tap what you saw, or skip it." in response.text


def test_more_frames_than_the_box_holds_are_refused_and_the_taps_stay(client, crew, visit, yard):
    ColonyFactory(yard=yard, tag="S1", boxes=1)
    response = tap(client, visit, "S1", below_halves="12", above_halves="21")

    assert response.status_code == 422
    assert "Select a valid choice." in response.text
    assert '<input type="radio" name="below_halves" value="12"' in response.text
    assert response.context["form"]["below_halves"].value() == "12"


def test_a_visit_that_counts_from_above_asks_that_first(client, crew, yard, colonies):
    visit = VisitFactory(yard=yard, view="above")

    page = client.get(at(visit, "A1")).text

    assert page.index("Frames from above") < page.index("Lower box") < page.index("Frames from below")


def test_a_visit_that_counts_both_ways_asks_both(client, crew, yard, colonies):
    visit = VisitFactory(yard=yard, view="both")

    page = client.get(at(visit, "A1")).text

    assert page.index("Frames from above") < page.index("Lower box")
    assert page.index("Frames from below") < page.index("Lower box")


def test_frames_out_in_the_cold_get_a_warning(client, crew, visit, colonies):
    response = client.post(at(visit, "A1"), {"once_key": uuid4(), "sealed_halves": "4"}, follow=True)

    assert "Frames were out at 6 °C." in response.text
    assert Look.objects.get().sealed_halves == 4


def test_suspected_disease_stops_the_walk_and_holds_the_yard(client, crew, visit, colonies):
    response = client.post(
        at(visit, "A1"), {"once_key": uuid4(), "below_halves": "8", "suspect_disease": "on"}, follow=True
    )

    assert response.redirect_chain[0][0] == reverse("yards:detail", args=["mill-lane"])
    assert "Close A1 and stop work here" in response.text
    assert "This yard is on hold:" in response.text
    assert "Call the inspector: disease suspected in A1" in response.text
    assert Hold.objects.count() == 1


def test_a_look_taken_before_is_corrected_on_the_same_screen(client, crew, visit, colonies):
    look = LookFactory(visit=visit, colony=colonies[0], below_halves=12)

    page = client.get(at(visit, "A1")).text
    client.post(at(visit, "A1"), {"version": 1, "below_halves": "11"})

    look.refresh_from_db()
    assert 'value="12" id="id_below_halves_12" checked' in page
    assert (look.below_halves, look.version) == (11, 2)
    assert "What changed" in client.get(at(visit, "A1")).text


def test_two_people_on_one_colony_get_a_question(client, crew, visit, colonies):
    LookFactory(visit=visit, colony=colonies[0], below_halves=11, version=2)

    response = client.post(at(visit, "A1"), {"version": 1, "below_halves": "12"})

    assert response.status_code == 422
    assert "Now stands as: 5½" in response.text
    assert 'name="version" value="2"' in response.text
    assert Look.objects.get().below_halves == 11


def test_two_people_who_open_one_screen_get_a_question_too(client, crew, visit, colonies):
    tap(client, visit, "A1", below_halves="9")

    asked = tap(client, visit, "A1", below_halves="12")
    answered = client.post(at(visit, "A1"), {"version": 1, "below_halves": "12"})

    assert asked.status_code == 422
    assert "Now stands as: 4½" in asked.text
    assert 'name="version" value="1"' in asked.text
    assert asked.context["form"]["below_halves"].value() == "12"
    assert answered.url == at(visit, "A2")
    assert Look.objects.get().below_halves == 12


def test_a_double_tap_records_one_look_and_goes_on(client, crew, visit, colonies):
    fields = {"once_key": uuid4(), "below_halves": "9"}
    client.post(at(visit, "A1"), fields)

    response = client.post(at(visit, "A1"), fields)

    assert response.url == at(visit, "A2")
    assert Look.objects.count() == 1


def test_a_count_over_two_boxes_stays_choosable(client, crew, visit, colonies):
    LookFactory(visit=visit, colony=colonies[0], below_halves=24)

    page = client.get(at(visit, "A1")).text

    assert 'value="24" id="id_below_halves_24" checked' in page


def test_a_colony_that_does_not_stand_there_is_not_here(client, crew, visit):
    ColonyFactory(tag="X1")

    assert client.get(at(visit, "X1")).status_code == 404


def test_forty_colonies_take_a_fixed_number_of_queries(client, crew, visit, yard, django_assert_max_num_queries):
    for colony in ColonyFactory.create_batch(40, yard=yard):
        LookFactory(visit=visit, colony=colony)

    with django_assert_max_num_queries(14):
        response = client.get(at(visit, Look.objects.first().colony.tag))

    assert response.status_code == 200
