"""Health: recorded from a yard or colony, shown there and on one page, refusals beside the field."""

from datetime import date
from uuid import uuid4

import pytest
from django.urls import reverse

from apiary_ops.yards import services
from apiary_ops.yards.models import BroodCheck, Hold, MiteWash, Task, Treatment
from tests.factories.yards import (
    BroodCheckFactory,
    ColonyFactory,
    LookFactory,
    MiteWashFactory,
    TreatmentFactory,
    VisitFactory,
)

pytestmark = pytest.mark.django_db


@pytest.fixture
def visit(yard, season, third_of_april):
    return VisitFactory(yard=yard, season=season, on=third_of_april)


@pytest.fixture
def rules():
    services.install_task_rules()


def test_a_wash_says_its_load(client, crew, yard, visit):
    ColonyFactory(yard=yard, tag="C0001")
    fields = {"visit": visit.pk, "colony": "C0001", "mites": 6, "bees": 300, "method": "alcohol", "once_key": uuid4()}

    response = client.post(reverse("yards:wash-add", args=["mill-lane"]), fields, follow=True)

    assert response.redirect_chain == [(reverse("yards:detail", args=["mill-lane"]), 302)]
    assert "Noted. C0001: mites 2.0 %, treat from 2 %." in response.text
    assert MiteWash.objects.get().colony.tag == "C0001"


def test_the_latest_visit_and_the_colony_of_the_link_are_chosen(client, crew, yard, visit):
    VisitFactory(yard=yard, season=visit.season, on=date(2027, 3, 20))

    form = client.get(reverse("yards:wash-add", args=["mill-lane"]), {"colony": "C0001"}).context["form"]

    assert (form["visit"].value(), form["colony"].value()) == (visit.pk, "C0001")


def test_a_refused_wash_keeps_what_was_typed(client, crew, yard, visit):
    fields = {"visit": visit.pk, "mites": 300, "bees": 60, "method": "soap", "once_key": uuid4()}

    response = client.post(reverse("yards:wash-add", args=["mill-lane"]), fields)

    assert response.status_code == 422
    assert "300 mites on 60 bees cannot be: count again, mites first." in response.text
    assert response.context["form"]["mites"].value() == "300"
    assert MiteWash.objects.count() == 0


def test_a_wash_is_corrected(client, crew, visit):
    wash = MiteWashFactory(visit=visit, mites=30)
    url = reverse("yards:wash-correct", args=[wash.pk])

    refused = client.post(url, {"mites": 30, "bees": 10, "method": "alcohol"})
    response = client.post(url, {"mites": 3, "bees": 300, "method": "alcohol"})

    wash.refresh_from_db()
    assert refused.status_code == 422
    assert response.url == reverse("yards:health")
    assert wash.mites == 3


def test_suspect_brood_stops_the_yard(client, crew, yard, visit):
    fields = {"visit": visit.pk, "colonies_checked": 8, "result": "suspect", "note": "ropy", "once_key": uuid4()}

    response = client.post(reverse("yards:brood-check-add", args=["mill-lane"]), fields, follow=True)

    assert "Mill Lane is on hold. Call the inspector now." in response.text
    assert Hold.objects.get().yard == yard


def test_a_brood_check_without_a_result_is_refused(client, crew, yard, visit):
    fields = {"visit": visit.pk, "colonies_checked": 8, "note": "looked twice", "once_key": uuid4()}

    response = client.post(reverse("yards:brood-check-add", args=["mill-lane"]), fields)

    assert response.status_code == 422
    assert response.context["form"]["note"].value() == "looked twice"


def test_a_brood_check_is_corrected(client, crew, visit):
    check = BroodCheckFactory(visit=visit)
    fields = {"colonies_checked": 9, "result": "clear", "note": ""}

    response = client.post(reverse("yards:brood-check-correct", args=[check.pk]), fields)

    assert response.url == reverse("yards:health")
    assert BroodCheck.objects.get().colonies_checked == 9


def treat(client, **fields):
    fields = {"kind": "amitraz", "starts_on": "2027-04-03", "dose": "2 strips a box", "once_key": uuid4()} | fields
    return client.post(reverse("yards:treatment-give", args=["mill-lane"]), fields)


def test_a_treatment_makes_its_task(client, crew, yard, rules):
    response = treat(client)

    assert response.url == reverse("yards:detail", args=["mill-lane"])
    assert Treatment.objects.get().dose == "2 strips a box"
    assert Task.objects.get().due_on == date(2027, 5, 29)
    page = client.get(response.url).text
    assert "Amitraz strips" in page
    assert "out in 47 days" in page


def test_a_treatment_outside_its_label_is_refused_beside_the_day(client, crew, yard, rules):
    response = treat(client, due_out_on="2027-07-01")

    assert response.status_code == 422
    assert response.context["form"].errors["due_out_on"] == [
        "Amitraz strips: the label allows 42 to 56 days, not 89. Choose a day within them."
    ]


def test_weak_colonies_are_left_out_when_asked(client, crew, yard, visit, rules):
    LookFactory(visit=visit, colony=ColonyFactory(yard=yard, tag="C0001"), below_halves=14)
    LookFactory(visit=visit, colony=ColonyFactory(yard=yard, tag="C0002"), below_halves=8)

    refused = treat(client, kind="formic-slow", starts_on="2027-04-12")
    response = client.get(treat(client, kind="formic-slow", starts_on="2027-04-12", leaves_out_weak="on").url)

    assert refused.status_code == 422
    assert "Too weak for it: C0002." in refused.text
    assert "Left out, too weak for it: C0002." in response.text
    assert Treatment.objects.get().colony.tag == "C0001"


def test_heat_is_typed_as_the_thermometer_reads(client, crew, yard, rules):
    response = treat(client, kind="formic-slow", temperature_c="30,0")

    assert response.status_code == 422
    assert "is not given above 29.5 °C" in response.text


def test_a_treatment_ended_too_soon_is_said(client, crew, yard):
    treatment = TreatmentFactory(yard=yard, starts_on=date(2027, 4, 3), due_out_on=date(2027, 5, 29))
    url = reverse("yards:treatment-end", args=[treatment.pk])

    refused = client.post(url, {"on": "2027-04-01"})
    response = client.post(url, {"on": "2027-04-10"}, follow=True)

    treatment.refresh_from_db()
    assert refused.status_code == 422
    assert treatment.ended_on == date(2027, 4, 10)
    assert "The label asks for at least 42 days: it may not have worked." in response.text


def test_the_health_page_holds_it_all_and_each_list_is_a_file(client, crew, yard, visit):
    TreatmentFactory(yard=yard, due_out_on=date(2027, 4, 7))
    MiteWashFactory(visit=visit, mites=9)
    BroodCheckFactory(visit=visit, result="suspect")
    url = reverse("yards:health")

    page = client.get(url).text
    files = [client.get(url, {"export": "csv", "of": of}).text for of in ("", "washes", "brood-checks")]

    assert "out 5 days late" in page
    assert "3.0 %, treat from 2 %" in page
    assert '<span class="state state-broken">suspect</span>' in page
    assert "out 5 days late" in files[0]
    assert "3.0 %, treat from 2 %" in files[1]
    assert "suspect" in files[2]


def test_a_colony_shows_what_it_was_treated_with_alone_or_with_its_yard(client, crew, yard):
    colony = ColonyFactory(yard=yard, tag="C0001")
    TreatmentFactory(yard=yard, kind__name="Amitraz strips")
    TreatmentFactory(yard=yard, colony=colony, kind__name="Thymol")
    TreatmentFactory(yard=yard, colony=ColonyFactory(yard=yard), kind__name="Oxalic acid")

    page = client.get(reverse("yards:colony", args=["C0001"])).text

    assert "Amitraz strips" in page
    assert "Thymol" in page
    assert "Oxalic acid" not in page


def test_queens_to_replace_are_listed(client, crew, yard, visit):
    LookFactory(visit=visit, colony=ColonyFactory(yard=yard, tag="C0001", queen_year=2025), queen="spotty")

    page = client.get(reverse("yards:requeen-list")).text
    file = client.get(reverse("yards:requeen-list"), {"export": "csv"}).text

    assert "1 live colony wants a queen" in page
    assert "spotty brood" in page
    assert "C0001" in file


def test_without_poor_queens_the_list_says_how_they_come_here(client, crew):
    assert "No queen wants replacing." in client.get(reverse("yards:requeen-list")).text


def test_twenty_treatments_take_a_fixed_number_of_queries(client, crew, yard, visit, django_assert_max_num_queries):
    TreatmentFactory.create_batch(20, yard=yard)
    MiteWashFactory.create_batch(20, visit=visit)
    BroodCheckFactory.create_batch(20, visit=visit)

    with django_assert_max_num_queries(14):
        response = client.get(reverse("yards:health"))

    assert response.status_code == 200
