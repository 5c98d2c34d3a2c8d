"""Visits: started from a yard, listed, closed with minutes and notes."""

from datetime import UTC, date, datetime, time
from decimal import Decimal
from uuid import uuid4

import pytest
from django.urls import reverse

from apiary_ops.business.models import Business
from apiary_ops.yards.models import MaterialUse, NoGo, Visit
from tests.factories.yards import ColonyFactory, LookFactory, VisitFactory, YardFactory

pytestmark = pytest.mark.django_db
FIELDS = {
    "on": "2027-04-12",
    "temperature_c": "6,5",
    "sky": "cloud",
    "work": "look",
    "view": "below",
    "depth": "each",
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


def test_a_crew_of_forged_keys_is_refused_and_nothing_falls_over(client, crew, yard):
    response = start(client, crew_ids=["9" * 31])

    assert response.status_code == 422
    assert response.context["form"].errors == {"crew_ids": ["“…” is not a valid value."]}
    assert not Visit.objects.exists()


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


# --- Times, jobs, materials, a tally.


def test_a_visit_begins_by_the_clock_of_the_yard(client, crew, yard, monkeypatch):
    monkeypatch.setattr("apiary_ops.core.clock.now", lambda: datetime(2027, 4, 12, 12, 41, 30, tzinfo=UTC))

    form = client.get(reverse("yards:visit-start", args=["mill-lane"])).context["form"]

    assert form["arrived_at"].value() == time(9, 41)  # Halifax


def test_a_visit_keeps_when_the_crew_arrived(client, crew, yard):
    start(client, work="feed", arrived_at="09:40")

    assert Visit.objects.get().arrived_at == time(9, 40)


def test_a_visit_to_tally_leads_to_the_tally(client, crew, yard):
    ColonyFactory(yard=yard)

    response = start(client, depth="tally")

    assert response.url == reverse("yards:tally", args=[Visit.objects.get().pk])


def test_a_day_to_stay_away_is_a_warning_and_no_refusal(client, crew, yard, today):
    NoGo.objects.create(yard=yard, starts_on=today, ends_on=today, reason="spraying next door")
    words = "Nobody is to drive to Mill Lane on Mon 12 Apr 2027: spraying next door."

    before = client.get(reverse("yards:visit-start", args=["mill-lane"])).text
    start(client, work="feed")
    after = client.get(reverse("yards:visit", args=[Visit.objects.get().pk])).text

    assert words in before
    assert words in after


def test_the_form_to_leave_a_yard_does_not_offer_to_leave_it_twice(client, crew, yard):
    visit = VisitFactory(yard=yard)

    page = client.get(reverse("yards:visit-leave", args=[visit.pk])).text

    assert "Leave the yard</button>" in page
    assert "Not yet</a>" in page
    assert "Leave it</a>" not in page


def test_the_crew_leaves_with_jobs_and_amounts(client, crew, yard):
    visit = VisitFactory(yard=yard, minutes=0, arrived_at=time(9, 30))
    fields = {"once_key": uuid4(), "left_at": "10:50", "jobs": ["feed", "fence"], "used_syrup": "12,5", "km": "64"}

    response = client.post(reverse("yards:visit-leave", args=[visit.pk]), fields)

    visit.refresh_from_db()
    page = client.get(response.url).text
    assert response.url == reverse("yards:visit", args=[visit.pk])
    assert (visit.left_at, visit.minutes) == (time(10, 50), 80)
    assert "09:30–10:50, 80 minutes" in page
    assert "fed, saw to the fence" in page
    assert "syrup, L: 12.5" in page


def test_leaving_offers_what_the_looks_say_was_done(client, crew, yard, today):
    visit = VisitFactory(yard=yard, on=today)
    LookFactory(visit=visit, patty_given=True, strips_pulled=True)
    LookFactory(visit=visit, patty_given=True)

    form = client.get(reverse("yards:visit-leave", args=[visit.pk])).context["form"]

    assert form["jobs"].value() == ("look", "strips", "feed")
    assert form["used_patty"].value() == 2
    assert form["left_at"].value() is not None


def test_leaving_before_arriving_is_refused_beside_the_time(client, crew, yard):
    visit = VisitFactory(yard=yard, arrived_at=time(9, 30))

    response = client.post(
        reverse("yards:visit-leave", args=[visit.pk]), {"once_key": uuid4(), "left_at": "09:10", "used_patty": "4"}
    )

    assert response.status_code == 422
    assert response.context["form"].errors["left_at"] == [
        "The crew arrived at 09:30 and cannot leave at 09:10. Mend the times, or leave one empty and note the minutes."
    ]
    assert response.context["form"]["used_patty"].value() == "4"


def test_leaving_twice_by_a_double_click_uses_nothing_twice(client, crew, yard):
    visit = VisitFactory(yard=yard)
    fields = {"once_key": uuid4(), "left_at": "10:50", "used_patty": "4"}
    client.post(reverse("yards:visit-leave", args=[visit.pk]), fields)

    response = client.post(reverse("yards:visit-leave", args=[visit.pk]), fields)

    assert response.url == reverse("yards:visit", args=[visit.pk])
    assert visit.materials.count() == 1


def test_a_mended_amount_leaves_what_one_colony_got(client, crew, yard):
    visit = VisitFactory(yard=yard)
    colony = ColonyFactory(yard=yard, tag="A1")
    MaterialUse.objects.create(visit=visit, material="patty", quantity=1, colony=colony)
    MaterialUse.objects.create(visit=visit, material="patty", quantity=6)
    url = reverse("yards:visit-edit", args=[visit.pk])

    opened = client.get(url).context["form"]["used_patty"].value()
    client.post(url, FIELDS | {"version": 1, "jobs": ["mow"], "used_patty": "5"})

    assert opened == "6"
    assert list(visit.materials.order_by("id").values_list("quantity", "colony__tag")) == [(1, "A1"), (5, None)]
    assert list(visit.jobs_done.values_list("job", flat=True)) == ["mow"]


def test_amounts_below_nothing_are_refused(client, crew, yard):
    visit = VisitFactory(yard=yard)

    response = client.post(reverse("yards:visit-edit", args=[visit.pk]), FIELDS | {"version": 1, "used_syrup": "-3"})

    assert response.status_code == 422
    assert response.context["form"].errors["used_syrup"] == ["Ensure this value is greater than or equal to 0."]


# --- Lists.


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


def test_what_was_driven_is_saved_as_a_number_in_the_unit_of_the_business(client, crew, yard):
    VisitFactory(yard=yard, on=date(2027, 4, 3), km=64)
    Business.objects.update(distance_unit="mi")

    lines = client.get(reverse("yards:visit-list"), {"export": "csv"}).content.decode("utf-8-sig").splitlines()

    assert lines[0] == "Day,Yard,Work,Looks,People,Minutes,Driven (mi),Recorded by"
    assert lines[1].startswith("2027-04-03,Mill Lane,look,0,2,60,40,")
