"""Yards at a glance, and one yard with its colonies, holds and tasks."""

from datetime import date
from uuid import uuid4

import pytest
from django.urls import reverse

from apiary_ops.business.models import Business
from apiary_ops.core.panels import Panel, _makers
from apiary_ops.yards.models import Yard
from tests.factories.yards import (
    ColonyFactory,
    HoldFactory,
    LookFactory,
    TallyFactory,
    TaskFactory,
    VisitFactory,
    YardFactory,
)

pytestmark = pytest.mark.django_db


def add_looks(yard, count, day, halves=12):
    visit = VisitFactory(yard=yard, on=day)
    for colony in ColonyFactory.create_batch(count, yard=yard):
        LookFactory(visit=visit, colony=colony, below_halves=halves)


# --- All yards.


def test_the_list_says_which_yard_wants_what(client, crew, third_of_april):
    add_looks(YardFactory(name="Mill Lane"), 3, third_of_april)
    add_looks(YardFactory(name="Far Field"), 3, date(2027, 3, 1), halves=8)
    held = YardFactory(name="North Wood")
    HoldFactory(yard=held)

    page = client.get(reverse("yards:list")).text

    assert "Mill Lane" in page
    assert '<span class="state state-mind">not looked at, weak</span>' in page
    assert '<span class="state state-broken">on hold</span>' in page
    assert "These limits are assumptions." in page
    assert "Best" in page


def test_an_empty_desk_says_what_to_do_first(client, office):
    page = client.get(reverse("yards:list")).text

    assert "Begin with the place your colonies stand at." in page
    assert reverse("yards:add") in page


def test_crew_is_not_offered_what_it_may_not_do(client, crew):
    page = client.get(reverse("yards:list")).text

    assert reverse("yards:add") not in page
    assert "Ask the office to add the place" in page


def test_twenty_yards_take_the_same_few_queries(client, crew, third_of_april, django_assert_max_num_queries):
    for _ in range(20):
        add_looks(YardFactory(), 2, third_of_april)

    with django_assert_max_num_queries(19):
        response = client.get(reverse("yards:list"))

    assert response.status_code == 200


def test_the_list_is_saved_as_it_stands(client, crew, third_of_april):
    add_looks(YardFactory(name="Mill Lane"), 3, third_of_april)

    response = client.get(reverse("yards:list"), {"export": "csv"})

    assert response["Content-Disposition"] == 'attachment; filename="yards.csv"'
    lines = response.content.decode("utf-8-sig").splitlines()
    assert lines[0] == (
        "Yard,Wants,Colonies,Mean (frames),Best,Ordinary,Slow,Behind,Left out,Last look (days ago),Tasks,Late"
    )
    assert lines[1] == "Mill Lane,,3,6.0,3,,,,0,9,,"


# --- One yard.


def test_a_yard_shows_its_colonies_in_walking_order_with_grade_and_strength(client, crew, yard, third_of_april):
    visit = VisitFactory(yard=yard, on=third_of_april)
    second = ColonyFactory(yard=yard, tag="B2", position=2)
    first = ColonyFactory(yard=yard, tag="A1", position=1, purpose="honey")
    for colony in (first, second):
        LookFactory(visit=visit, colony=colony, below_halves=11)

    page = client.get(reverse("yards:detail", args=["mill-lane"])).text

    assert page.index(">A1<") < page.index(">B2<")
    assert "left out: kept for honey" in page
    assert "5.5 ± 0.5" in page
    assert '<span class="state state-good">best</span>' in page


def test_a_yard_on_hold_says_so_first_and_whom_to_ask(client, crew, yard):
    HoldFactory(yard=yard, reason="disease suspected in C0001")

    page = client.get(reverse("yards:detail", args=["mill-lane"])).text

    assert "This yard is on hold:" in page
    assert "disease suspected in C0001" in page
    assert "Ask the inspector" in page
    assert "End the hold" not in page  # that is for the office


def test_a_hold_names_the_inspector_to_call(client, crew, yard):
    Business.objects.update(inspector="R. Vale", inspector_phone="555 0144")
    HoldFactory(yard=yard)

    page = client.get(reverse("yards:detail", args=["mill-lane"])).text

    assert '<a href="tel:5550144">R. Vale, 555 0144</a>' in page


def test_a_yard_lists_what_to_do_there(client, crew, yard):
    TaskFactory(yard=yard, what="Pull the strips", due_on=date(2027, 4, 9))

    page = client.get(reverse("yards:detail", args=["mill-lane"])).text

    assert "Pull the strips" in page
    assert "3 days late" in page


def test_a_yard_page_shows_panels_of_higher_apps(client, crew, yard, monkeypatch):
    panel = Panel("given", "Nucs standing here", "components/_empty.html")
    monkeypatch.setitem(_makers, "yard", [lambda request, record: panel if record == yard else None])

    page = client.get(reverse("yards:detail", args=["mill-lane"])).text

    assert "Nucs standing here" in page


def test_forty_colonies_take_a_fixed_number_of_queries(
    client, crew, yard, third_of_april, django_assert_max_num_queries
):
    add_looks(yard, 40, third_of_april)

    with django_assert_max_num_queries(27):
        response = client.get(reverse("yards:detail", args=["mill-lane"]))

    assert response.status_code == 200


def test_an_unknown_yard_is_not_here(client, crew):
    assert client.get(reverse("yards:detail", args=["nowhere"])).status_code == 404


# --- Added and changed.

FIELDS = {"name": "Mill Lane", "round_trip_km": "64"}


def test_a_yard_is_added(client, office):
    response = client.post(reverse("yards:add"), FIELDS | {"code": "mill-lane", "once_key": uuid4()})

    assert response.url == reverse("yards:detail", args=["mill-lane"])
    assert Yard.objects.get().round_trip_km == 64


def test_a_code_already_used_is_refused_beside_the_field(client, office, yard):
    response = client.post(reverse("yards:add"), FIELDS | {"code": "mill-lane", "once_key": uuid4()})

    assert response.status_code == 422
    assert response.context["form"].errors["code"] == [
        "A yard with the code mill-lane is already there. Choose another code."
    ]


def test_a_double_click_adds_one_yard(client, office):
    fields = FIELDS | {"code": "mill-lane", "once_key": uuid4()}
    client.post(reverse("yards:add"), fields)

    response = client.post(reverse("yards:add"), fields, follow=True)

    assert "nothing was done twice" in response.text
    assert Yard.objects.count() == 1


def test_a_yard_is_changed_and_shows_who_did_it(client, office, yard):
    url = reverse("yards:edit", args=["mill-lane"])

    client.post(url, FIELDS | {"name": "Mill Lane East", "version": 1, "is_active": "on"})

    page = client.get(url).text
    assert "Mill Lane East" in page
    assert "Ib Desk" in page


def test_a_stale_form_shows_both_values(client, office, yard):
    yard.name, yard.version = "Mill Lane West", 2
    yard.save()

    response = client.post(
        reverse("yards:edit", args=["mill-lane"]), FIELDS | {"name": "Mill Lane East", "version": 1, "is_active": "on"}
    )

    assert response.status_code == 422
    assert "Now stands as: Mill Lane West" in response.text
    assert 'value="Mill Lane East"' in response.text


def test_distances_are_typed_in_the_unit_of_the_business(client, office, yard):
    Business.objects.update(distance_unit="mi")

    page = client.get(reverse("yards:edit", args=["mill-lane"])).text
    client.post(
        reverse("yards:edit", args=["mill-lane"]), FIELDS | {"round_trip_km": "50", "version": 1, "is_active": "on"}
    )

    yard.refresh_from_db()
    assert "Round trip, mi" in page
    assert 'value="40"' in page
    assert yard.round_trip_km == 80


def test_the_yard_offers_its_sheet_to_print(client, crew, yard):
    ColonyFactory(yard=yard)
    address = reverse("yards:sheet", args=["mill-lane"])

    page = client.get(reverse("yards:detail", args=["mill-lane"])).text
    paper = client.get(address)

    assert f'href="{address}"' in page
    assert (paper.status_code, paper["Content-Type"]) == (200, "application/pdf")
    assert paper["Content-Disposition"] == 'inline; filename="mill-lane-2027-04-12.pdf"'
    assert paper.content.startswith(b"%PDF-")


def test_a_tallied_yard_says_that_its_colonies_are_not_told_apart(client, crew, yard, third_of_april, season):
    ColonyFactory.create_batch(2, yard=yard)
    visit = VisitFactory(season=season, yard=yard, on=third_of_april, depth="tally")
    TallyFactory(visit=visit, counts={"best": 1, "slow": 1})

    page = client.get(reverse("yards:detail", args=["mill-lane"])).text

    assert "Colonies in walking order; by the tally of 3 Apr, not told apart" in page
    assert ">tally</td>" not in page

    later = VisitFactory(season=season, yard=yard, on=date(2027, 4, 10))
    LookFactory(visit=later, colony=yard.colonies.order_by("id").first())
    mixed = client.get(reverse("yards:detail", args=["mill-lane"])).text
    assert (mixed.count(">tally</td>"), mixed.count(">look</td>")) == (1, 1)
