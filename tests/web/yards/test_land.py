"""What must be known before driving to a yard, and the pages that record it."""

from datetime import date
from decimal import Decimal
from uuid import uuid4

import pytest
from django.urls import reverse

from apiary_ops.business.models import Business
from apiary_ops.yards.models import Certificate, FenceCheck, NoGo
from tests.factories.yards import YardFactory
from tests.web.reading import text

pytestmark = pytest.mark.django_db

YARD = {"name": "Mill Lane", "round_trip_km": "64", "version": 1, "is_active": "on"}


def page_of(client, page="yards:detail"):
    return client.get(reverse(page, args=["mill-lane"]))


def post(client, page, key="mill-lane", **fields):
    return client.post(reverse(page, args=[key]), {"once_key": uuid4(), **fields})


# --- The place itself.


def test_a_yard_shows_what_to_know_before_driving_there(client, office, yard):
    post(
        client,
        "yards:edit",
        **YARD,
        latitude="45 14.5 N",
        longitude="40 6 W",
        access_notes="Left at the mill",
        gate_code="4471",
        hazards="A bull in May",
        forage="Willow, then clover",
        landowner="P. Marsh",
        landowner_phone="+1 555 0100",
        rent="20 kg of honey in October",
        has_bears="on",
    )

    page = page_of(client)

    shown = text(page)
    for fact in ("Left at the mill", "4471", "A bull in May", "Willow, then clover", "P. Marsh", "20 kg of honey"):
        assert fact in shown
    assert '<a href="geo:45.24167,-40.1">45.24167, -40.10000</a>' in page.text
    assert 'href="tel:+15550100"' in page.text
    assert "not checked yet" in shown


def test_coordinates_are_typed_as_they_are_read_and_kept_in_degrees(client, office, yard):
    post(client, "yards:edit", **YARD, latitude="45,24167", longitude="-40.1")

    yard.refresh_from_db()
    assert (yard.latitude, yard.longitude) == (Decimal("45.24167"), Decimal("-40.10000"))
    form = page_of(client, "yards:edit").text
    assert 'value="45.24167"' in form
    assert 'value="-40.1"' in form


@pytest.mark.parametrize(
    ("typed", "field", "words"),
    [
        (
            {"latitude": "45 61 N", "longitude": "40 W"},
            "latitude",
            "Write degrees, such as 49.24167 or 49 14.5 N, between 90 S and 90 N.",
        ),
        (
            {"latitude": "45 N", "longitude": "190"},
            "longitude",
            "Write degrees, such as -40.1 or 40 6 W, between 180 W and 180 E.",
        ),
        ({"latitude": "45 N"}, "longitude", "Give the longitude too, or neither."),
        ({"longitude": "40 W"}, "latitude", "Give the latitude too, or neither."),
    ],
)
def test_coordinates_that_name_no_place_are_refused_beside_the_field(client, office, yard, typed, field, words):
    response = post(client, "yards:edit", **YARD, **typed)

    assert response.status_code == 422
    assert response.context["form"].errors == {field: [words]}
    for kept in typed.values():
        assert f'value="{kept}"' in response.text


# --- Days to stay away.


def test_days_to_stay_away_are_shown_and_warn_on_the_day(client, crew, yard, settings):
    response = post(client, "yards:no-go-add", starts_on="2027-05-03", ends_on="2027-05-05", reason="Spraying")

    assert response.url == reverse("yards:detail", args=["mill-lane"])
    assert "Mon 3 May 2027 to Wed 5 May 2027" in text(page_of(client))
    assert "Stay away today:" not in text(page_of(client))
    settings.PRETENDED_TODAY = date(2027, 5, 4)
    assert "Stay away today:</span> Spraying" in text(page_of(client))


def test_who_starts_a_visit_on_such_a_day_is_warned_and_not_refused(client, crew, yard):
    post(client, "yards:no-go-add", starts_on="2027-04-12", reason="Spraying")

    page = text(page_of(client, "yards:visit-start"))

    assert "Nobody is to drive to Mill Lane on Mon 12 Apr 2027: Spraying." in page
    assert ">Start</button>" in page


def test_a_single_day_needs_no_end(client, crew, yard):
    post(client, "yards:no-go-add", starts_on="2027-05-03", reason="A wedding")

    assert NoGo.objects.get().ends_on == date(2027, 5, 3)


def test_days_that_end_before_they_start_are_refused_and_kept(client, crew, yard):
    response = post(client, "yards:no-go-add", starts_on="2027-05-03", ends_on="2027-05-01", reason="Spraying")

    assert response.status_code == 422
    assert response.context["form"].errors["ends_on"] == ["The last day cannot come before the first."]
    assert 'value="Spraying"' in response.text


def test_a_double_click_saves_the_days_once(client, crew, yard):
    key = uuid4()
    for _ in range(2):
        response = post(client, "yards:no-go-add", starts_on="2027-05-03", reason="Spraying", once_key=key)

    assert response.status_code == 302
    assert NoGo.objects.count() == 1


def test_days_are_taken_back_after_asking(client, crew, yard):
    post(client, "yards:no-go-add", starts_on="2027-05-03", reason="Spraying")
    address = reverse("yards:no-go-remove", args=[NoGo.objects.get().pk])

    asked = text(client.get(address))
    assert "Take these days back?" in asked
    assert "Tove Brook" in asked  # who entered them
    client.post(address)

    assert "The road is free." in text(page_of(client))


# --- Certificates.

CERTIFICATE = {"number": "A-17", "issued_on": "2027-04-01", "expires_on": "2027-04-30"}


def test_a_certificate_is_recorded_with_the_usual_inspector(client, office, yard):
    Business.objects.update(inspector="R. Vale")

    assert 'value="R. Vale"' in page_of(client, "yards:certificate-add").text
    post(client, "yards:certificate-add", **CERTIFICATE, inspector="R. Vale")

    page = page_of(client)
    assert '<span class="state state-mind">good until Fri 30 Apr 2027</span>' in page.text
    assert "R. Vale" in text(page)


def test_crew_reads_a_certificate_and_writes_none(client, crew, yard):
    page = page_of(client).text

    assert "None is recorded." in page
    assert reverse("yards:certificate-add", args=["mill-lane"]) not in page


@pytest.mark.parametrize(
    ("changes", "field", "words"),
    [
        ({"expires_on": "2027-03-01"}, "expires_on", "A certificate cannot run out before it is issued."),
        (
            {"issued_on": "2027-04-20"},
            "issued_on",
            "A certificate cannot be recorded before it happens: Tue 20 Apr 2027 is still to come.",
        ),
    ],
)
def test_an_impossible_certificate_is_refused_beside_the_day(client, office, yard, changes, field, words):
    response = post(client, "yards:certificate-add", **CERTIFICATE | changes)

    assert response.status_code == 422
    assert response.context["form"].errors == {field: [words]}
    assert 'value="A-17"' in response.text


def test_a_certificate_already_there_is_refused_beside_its_number(client, office, yard):
    post(client, "yards:certificate-add", **CERTIFICATE)

    response = post(client, "yards:certificate-add", **CERTIFICATE)

    assert response.status_code == 422
    assert response.context["form"].errors["number"] == ["Certificate A-17 of Mill Lane is already recorded."]


def test_a_slip_on_a_certificate_is_put_right(client, office, yard):
    post(client, "yards:certificate-add", **CERTIFICATE)
    certificate = Certificate.objects.get()

    post(client, "yards:certificate", certificate.pk, **CERTIFICATE | {"number": "A-71"})

    page = text(client.get(reverse("yards:certificate", args=[certificate.pk])))
    assert "Correct certificate A-71" in page
    assert "Ib Desk" in page


def test_a_correction_that_is_refused_keeps_what_was_typed(client, office, yard):
    post(client, "yards:certificate-add", **CERTIFICATE)

    response = post(
        client, "yards:certificate", Certificate.objects.get().pk, **CERTIFICATE | {"expires_on": "2027-03-01"}
    )

    assert response.status_code == 422
    assert 'value="2027-03-01"' in response.text


def test_a_yard_whose_certificate_ran_out_says_so_in_the_list(client, office, yard):
    post(client, "yards:certificate-add", **CERTIFICATE | {"expires_on": "2027-04-01"})

    assert '<span class="state state-mind">certificate ran out</span>' in client.get(reverse("yards:list")).text


def test_certificates_of_all_yards_are_listed_what_runs_out_first(client, office, yard):
    YardFactory(name="Far Field")
    late = YardFactory(name="North Wood", code="north-wood")
    post(client, "yards:certificate-add", **CERTIFICATE)
    post(client, "yards:certificate-add", late.code, **CERTIFICATE | {"number": "B-2", "expires_on": "2027-04-02"})

    page = client.get(reverse("yards:certificate-list"))
    saved = client.get(reverse("yards:certificate-list"), {"export": "csv"})

    assert '<span class="state state-broken">ran out on Fri 2 Apr 2027</span>' in page.text
    assert saved["Content-Disposition"] == 'attachment; filename="certificates.csv"'
    assert saved.content.decode("utf-8-sig").splitlines() == [
        "Yard,Holds,Number,Inspector,Issued on,Good until",
        "North Wood,ran out on Fri 2 Apr 2027,B-2,,2027-04-01,2027-04-02",
        "Mill Lane,good until Fri 30 Apr 2027,A-17,,2027-04-01,2027-04-30",
        "Far Field,none,,,,",
    ]


# --- The fence.

IN_ORDER = dict.fromkeys(("wires_tight", "earth_good", "growth_clear", "charger_works", "signs_up"), "on")


def test_a_walk_round_the_fence_says_what_is_wrong(client, crew, yard):
    post(client, "yards:fence-check", on="2027-04-12", volts="4200", note="Ivy at the corner", **IN_ORDER)

    page = text(page_of(client))
    assert "not in order" in page
    assert "4,200 V" in page
    assert "The wire carries too little: at least 6,000 volts." in page
    assert "Ivy at the corner" in page
    assert "Tove Brook" in page


def test_who_checks_a_fence_sees_the_walks_before(client, crew, yard):
    post(client, "yards:fence-check", on="2027-04-01", volts="6900", **IN_ORDER)
    post(client, "yards:fence-check", on="2027-04-12", volts="4200", note="Ivy at the corner", **IN_ORDER)

    page = text(page_of(client, "yards:fence-check"))

    assert page.index("4,200 V") < page.index("6,900 V")
    assert "Tove Brook · Ivy at the corner" in page


def test_what_was_not_ticked_was_not_in_order(client, crew, yard):
    post(client, "yards:fence-check", on="2027-04-12")

    check = FenceCheck.objects.get()
    assert (check.volts, check.wires_tight, check.signs_up) == (None, False, False)


def test_the_fence_form_says_how_high_the_wires_run(client, crew, yard):
    metric = text(page_of(client, "yards:fence-check"))
    Business.objects.update(distance_unit="mi")
    imperial = text(page_of(client, "yards:fence-check"))

    assert "Six wires, at 20, 36, 51, 66, 81 and 97 cm." in metric
    assert "Six wires, at 8, 14, 20, 26, 32 and 38 inches." in imperial
    assert "Switch it off before you mend it." in metric


def test_a_walk_still_to_come_is_refused_beside_the_day(client, crew, yard):
    response = post(client, "yards:fence-check", on="2027-04-13", volts="7000")

    assert response.status_code == 422
    assert response.context["form"].errors["on"] == [
        "A walk round the fence cannot be recorded before it happens: Tue 13 Apr 2027 is still to come."
    ]
    assert 'value="7000"' in response.text


def test_more_volts_than_a_meter_reads_are_refused(client, crew, yard):
    response = post(client, "yards:fence-check", on="2027-04-12", volts="30000")

    assert response.status_code == 422
    assert FenceCheck.objects.count() == 0
