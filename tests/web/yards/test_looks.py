"""The look entry: one colony a screen, without a script, without a keyboard."""

from datetime import timedelta
from decimal import Decimal
from uuid import uuid4

import pytest
from django.urls import reverse

from apiary_ops.business.models import Business
from apiary_ops.yards.models import Colony, Hold, Look
from tests.factories.yards import ColonyFactory, FrameMoveFactory, LookFactory, VisitFactory

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


def test_a_colony_in_one_box_is_not_asked_for_its_lower_box(client, crew, yard, visit, colonies):
    ColonyFactory(yard=yard, tag="S1", position=4, boxes=1)

    single, double = client.get(at(visit, "S1")).text, client.get(at(visit, "A1")).text

    assert 'name="lower_box"' not in single
    assert 'name="lower_box"' in double


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


def test_what_was_done_while_the_lid_was_off_is_tapped(client, crew, visit, colonies):
    tap(
        client,
        visit,
        "A1",
        below_halves="7",
        lower_box_off="on",
        strips_pulled="on",
        patty_given="on",
        broken_frame="on",
        cells="cut",
        heft="light",
    )

    look = Look.objects.get()
    assert (look.lower_box_off, look.strips_pulled, look.patty_given, look.broken_frame) == (True, True, True, True)
    assert (look.cells, look.heft, look.flying, look.suspect_disease) == ("cut", "light", False, False)
    assert Colony.objects.get(tag="A1").boxes == 1


def test_a_plain_look_takes_three_taps_and_next(client, crew, visit, colonies):
    page = client.get(at(visit, "A1")).text
    before_more = page[: page.index("What else")]

    assert before_more.index("Frames from below") < before_more.index("Lower box") < before_more.index("Patty left")
    assert page.index("Queen cells") < page.index("<summary>") < page.index("Heft</legend>")
    assert '<details class="how">' in page  # closed until needed


# --- Same as last time.


def test_same_as_last_time_fills_in_what_a_plain_look_said(client, crew, yard, visit, colonies, third_of_april):
    earlier = VisitFactory(yard=yard, on=third_of_april.replace(month=3))
    LookFactory(visit=earlier, colony=colonies[0], below_halves=9, lower_box="few", patty="half", queen="spotty")

    response = tap(client, visit, "A1", patty="gone", cells="none", same="1")

    form = response.context["form"]
    assert response.status_code == 200
    assert Look.objects.filter(visit=visit).count() == 0
    assert (form["below_halves"].value(), form["lower_box"].value()) == ("9", "few")
    assert (form["patty"].value(), form["cells"].value()) == ("gone", "none")  # what was tapped stays
    assert form["queen"].value() == ""  # nobody looked for her today
    assert 'value="9" id="id_below_halves_9" checked' in response.text


def test_a_colony_without_an_earlier_look_offers_no_last_time(client, crew, visit, colonies):
    assert "Same as last" not in client.get(at(visit, "A1")).text
    assert tap(client, visit, "A1", same="1").status_code == 422


# --- Disease.


@pytest.fixture
def stop_page(client, crew, visit, colonies):
    Business.objects.update(inspector="Bo Reed", inspector_phone="+1 555 0111")
    neighbour = colonies[1]
    FrameMoveFactory(from_colony=neighbour, to_colony=colonies[0], brood_frames=2, on=visit.on - timedelta(days=20))
    FrameMoveFactory(from_colony=colonies[0], to_colony=colonies[2], brood_frames=1, on=visit.on - timedelta(days=61))

    return client.post(
        at(visit, "A1"), {"once_key": uuid4(), "below_halves": "8", "suspect_disease": "on"}, follow=True
    )


def test_suspected_disease_stops_the_walk_and_holds_the_yard(stop_page, visit):
    assert stop_page.redirect_chain[0][0] == reverse("yards:stop", args=[visit.pk])
    assert "Close the hive now and open no other." in stop_page.text
    assert "This yard is on hold:" in stop_page.text
    assert Hold.objects.count() == 1


def test_the_stop_page_says_whom_to_call(stop_page):
    assert 'href="tel:+15550111"' in stop_page.text
    assert "Call Bo Reed: +1 555 0111" in stop_page.text


def test_the_stop_page_lists_the_frames_moved_lately(stop_page):
    assert "A2 → A1" in stop_page.text
    assert "2 brood, 0 food" in stop_page.text
    assert "A1 → A3" not in stop_page.text  # longer ago than 60 days


def test_the_stop_page_without_a_number_says_where_to_ask(client, crew, visit, colonies):
    LookFactory(visit=visit, colony=colonies[0], suspect_disease=True)

    page = client.get(reverse("yards:stop", args=[visit.pk])).text

    assert "The inspector's telephone number is not in the settings yet." in page
    assert "None of these colonies gave or took a frame" in page


def test_a_visit_without_suspicion_has_no_stop_page(client, crew, visit, colonies):
    assert client.get(reverse("yards:stop", args=[visit.pk])).status_code == 404


# --- Two people, twice, corrections.


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
