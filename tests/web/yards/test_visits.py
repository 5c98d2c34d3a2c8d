"""Visits: started from a yard, listed, closed with minutes and notes."""

from datetime import date
from decimal import Decimal
from uuid import uuid4

import pytest
from django.urls import reverse

from apiary_ops.yards.models import Visit
from tests.factories.yards import ColonyFactory, LookFactory, VisitFactory, YardFactory

pytestmark = pytest.mark.django_db
FIELDS = {
    "on": "2027-04-12",
    "temperature_c": "6,5",
    "sky": "cloud",
    "work": "look",
    "view": "below",
    "people": "2",
    "km": "64",
    "minutes": "",
    "notes": "",
}


def start(client, **change):
    url = reverse("yards:visit-start", args=["mill-lane"])
    return client.post(url, FIELDS | {"once_key": uuid4()} | change)


def test_the_form_knows_the_day_the_yard_and_who_asks(client, crew, yard):
    form = client.get(reverse("yards:visit-start", args=["mill-lane"])).context["form"]

    assert (form["on"].value(), form["km"].value(), form["crew_ids"].value()) == (date(2027, 4, 12), 64, [crew.pk])


def test_a_visit_starts_at_the_first_colony_in_walking_order(client, crew, yard):
    ColonyFactory(yard=yard, tag="B2", position=2)
    ColonyFactory(yard=yard, tag="A1", position=1)

    response = start(client, crew_ids=[crew.pk])

    visit = Visit.objects.get()
    assert response.url == reverse("yards:look", args=[visit.pk, "A1"])
    assert (visit.temperature_c, visit.people, visit.minutes, list(visit.crew.all())) == (Decimal("6.5"), 2, 0, [crew])


def test_a_visit_for_other_work_leads_to_its_own_page(client, crew, yard):
    ColonyFactory(yard=yard)

    response = start(client, work="feed")

    assert response.url == reverse("yards:visit", args=[Visit.objects.get().pk])


@pytest.mark.parametrize(
    ("change", "field", "words"),
    [
        ({"on": "2027-04-13"}, "on", "A visit cannot be recorded before it happens: Tue 13 Apr 2027 is still to come."),
        (
            {"on": "2026-08-01"},
            "on",
            "Sat 1 Aug 2026 is not in the season 2027. Choose the season it belongs to first.",
        ),
        ({"temperature_c": "300"}, "temperature_c", "The temperature must lie between -30 and 45 °C."),
        ({"people": "0"}, "people", "Ensure this value is greater than or equal to 1."),
    ],
)
def test_what_cannot_be_is_refused_beside_its_field(change, field, words, client, crew, yard):
    response = start(client, **change)

    assert response.status_code == 422
    assert response.context["form"].errors[field] == [words]
    assert Visit.objects.count() == 0


def test_a_double_click_starts_one_visit(client, crew, yard):
    key = uuid4()
    start(client, once_key=key)

    response = start(client, once_key=key)

    assert response.url == reverse("yards:visit", args=[Visit.objects.get().pk])


def test_a_visit_shows_who_is_still_to_be_looked_at(client, crew, yard):
    visit = VisitFactory(yard=yard)
    done = ColonyFactory(yard=yard, tag="A1", position=1)
    ColonyFactory(yard=yard, tag="B2", position=2)
    LookFactory(visit=visit, colony=done, note="mouse inside")

    page = client.get(reverse("yards:visit", args=[visit.pk])).text

    assert "1 of 2 looked at" in page
    assert "Look at 2: B2" in page
    assert "mouse inside" in page
    assert "6.0 ± 0.5" in page


def test_a_visit_is_closed_with_minutes_and_notes(client, crew, yard):
    visit = VisitFactory(yard=yard, minutes=0)
    fields = FIELDS | {"minutes": "95", "notes": "Gate left open.", "version": 1}

    response = client.post(reverse("yards:visit-edit", args=[visit.pk]), fields)

    visit.refresh_from_db()
    assert response.url == reverse("yards:visit", args=[visit.pk])
    assert (visit.minutes, visit.notes) == (95, "Gate left open.")


def test_visits_are_listed_and_narrowed_by_yard(client, crew, yard):
    VisitFactory(yard=yard)
    VisitFactory(yard=YardFactory(name="Far Field"))

    page = client.get(reverse("yards:visit-list"), {"yard": yard.pk}).text

    assert "1–1 of 1" in page
    assert '<td data-label="Yard">Mill Lane</td>' in page
    assert "64\u00a0km" not in page  # this visit drove 60


def test_twenty_visits_take_a_fixed_number_of_queries(client, crew, django_assert_max_num_queries):
    VisitFactory.create_batch(20)

    with django_assert_max_num_queries(12):
        response = client.get(reverse("yards:visit-list"))

    assert response.status_code == 200
