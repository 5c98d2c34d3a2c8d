"""One colony: its looks with how each number comes about, and what may be done with it."""

from uuid import uuid4

import pytest
from django.urls import reverse

from apiary_ops.core.panels import Panel, _makers
from apiary_ops.yards.models import Colony
from tests.factories.yards import ColonyFactory, HoldFactory, LookFactory, VisitFactory, YardFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def colony(yard):
    return ColonyFactory(yard=yard, tag="C0001", position=4)


def page_of(client, tag="C0001"):
    return client.get(reverse("yards:colony", args=[tag])).text


def test_a_colony_shows_how_its_strength_came_about(client, crew, yard, colony, third_of_april):
    visit = VisitFactory(yard=yard, on=third_of_april, temperature_c="16.0")
    LookFactory(visit=visit, colony=colony, below_halves=12, queen="spotty")

    page = page_of(client)

    assert "Position 4 in Mill Lane · ordinary" in page
    assert "4.8 ± 1.1" in page
    assert "rule 2 of 1 Jan 2020: ordinary from 4.5 frames" in page
    assert "common practice: warm from below 0.75 to 0.9" in page
    assert "Counted from below 6 × 0.8 = 4.8, at 16 °C: 4.8 ± 1.1 frames." in page
    assert "spotty brood" in page


def test_a_colony_nobody_saw_says_so(client, crew, colony):
    page = page_of(client)

    assert "left out: not counted this season" in page
    assert "Nobody has looked at it yet." in page
    assert "cool, not flying, from below" not in page


def test_a_colony_on_hold_carries_the_caution(client, office, yard, colony):
    HoldFactory(yard=yard, colony=colony, reason="odd brood")

    page = page_of(client)

    assert "C0001 is on hold:" in page
    assert "Ask the inspector" in page
    assert "End the hold" in page


def test_a_colony_page_shows_panels_of_higher_apps(client, crew, colony, monkeypatch):
    panel = Panel("given", "Frames it gave", "components/_empty.html")
    monkeypatch.setitem(_makers, "colony", [lambda request, record: panel if record == colony else None])

    assert "Frames it gave" in page_of(client)


def test_an_ended_colony_says_when_and_why_and_offers_nothing(client, crew, yard, today):
    ColonyFactory(yard=yard, tag="D1", state="lost", ended_on=today, loss_cause="starved")

    page = page_of(client, "D1")

    assert "starved" in page
    assert reverse("yards:colony-move", args=["D1"]) not in page


# --- Added.

FIELDS = {"tag": "c0031", "boxes": "2", "purpose": "nucs", "started_on": "2026-06-01"}


def test_colonies_are_added_one_after_another(client, crew, yard):
    url = reverse("yards:colony-add", args=["mill-lane"])

    first = client.post(url, FIELDS | {"once_key": uuid4(), "another": "1"})
    second = client.post(url, FIELDS | {"tag": "c0032", "once_key": uuid4()})

    assert first.url == url
    assert second.url == reverse("yards:detail", args=["mill-lane"])
    standing = Colony.objects.order_by("position").values_list("tag", "position")
    assert list(standing) == [("C0031", 1), ("C0032", 2)]


@pytest.mark.parametrize(
    ("change", "field", "words"),
    [
        ({"tag": "C0001"}, "tag", "The tag C0001 is already used. Each colony has its own; choose another."),
        ({"tag": "C 1/2"}, "tag", "A tag is made of letters, digits, dots and hyphens, such as C0031 or 12-A."),
        ({"position": "4"}, "position", "C0001 already stands at position 4 of Mill Lane. Choose another."),
        (
            {"started_on": "2027-04-13"},
            "started_on",
            "A colony cannot be recorded before it happens: Tue 13 Apr 2027 is still to come.",
        ),
        ({"boxes": "9"}, "boxes", "Ensure this value is less than or equal to 6."),
    ],
)
def test_what_cannot_be_is_refused_beside_its_field(change, field, words, client, crew, colony):
    url = reverse("yards:colony-add", args=["mill-lane"])

    response = client.post(url, FIELDS | change | {"once_key": uuid4()})

    assert response.status_code == 422
    assert response.context["form"].errors[field] == [words]


# --- Changed, moved, kept for, ended.


def test_a_colony_is_changed(client, crew, colony):
    url = reverse("yards:colony-edit", args=["C0001"])

    queen = {"queen_year": "2026", "queen_origin": "Hollow line", "queen_mark": "white", "queen_lot": "26-04"}
    response = client.post(url, {"tag": "C0009", "boxes": "1", "version": 1} | queen)

    colony.refresh_from_db()
    assert response.url == reverse("yards:colony", args=["C0009"])
    assert (colony.tag, colony.boxes, colony.queen_year) == ("C0009", 1, 2026)
    page = page_of(client, "C0009")
    assert "Hollow line" in page
    assert "Check the year" not in page


def test_a_mark_of_another_years_colour_is_minded(client, crew, colony):
    queen = {"queen_year": "2026", "queen_mark": "yellow"}

    response = client.post(
        reverse("yards:colony-edit", args=["C0001"]), {"tag": "C0001", "boxes": "2", "version": 1} | queen, follow=True
    )

    assert "The queen is marked yellow; queens of 2026 are marked white. Check the year." in response.text


def test_a_stale_change_shows_what_stands(client, crew, colony):
    Colony.objects.filter(pk=colony.pk).update(boxes=3, version=2)

    response = client.post(
        reverse("yards:colony-edit", args=["C0001"]), {"tag": "C0001", "boxes": "1", "queen_year": "", "version": 1}
    )

    assert response.status_code == 422
    assert "Now stands as: 3" in response.text


def test_a_colony_moves(client, crew, colony):
    there = YardFactory(name="Far Field")

    response = client.post(
        reverse("yards:colony-move", args=["C0001"]), {"yard": there.pk, "position": "7"}, follow=True
    )

    colony.refresh_from_db()
    assert (colony.yard, colony.position) == (there, 7)
    assert "C0001 stands at position 7 of Far Field." in response.text


def test_a_held_colony_does_not_move_and_the_page_says_why(client, crew, yard, colony):
    HoldFactory(yard=yard, reason="brood disease suspected")

    response = client.post(reverse("yards:colony-move", args=["C0001"]), {"yard": YardFactory().pk, "position": "7"})

    assert response.status_code == 422
    assert "Mill Lane is on hold (brood disease suspected): C0001 cannot move." in response.text


def test_a_colony_is_kept_for_something_else(client, crew, colony):
    fields = {"purpose": "pollination", "starts_on": "2027-05-01", "ends_on": "2027-05-20"}

    client.post(reverse("yards:colony-purpose", args=["C0001"]), fields)

    colony.refresh_from_db()
    assert colony.purpose == "pollination"
    assert "pollination contract, Sat 1 May 2027 to Thu 20 May 2027" in page_of(client)


def test_a_purpose_that_ends_before_it_begins_is_refused(client, crew, colony):
    fields = {"purpose": "pollination", "starts_on": "2027-05-20", "ends_on": "2027-05-01"}

    response = client.post(reverse("yards:colony-purpose", args=["C0001"]), fields)

    assert response.status_code == 422
    assert response.context["form"].errors["ends_on"] == ["The last day cannot come before the first."]


def test_a_colony_ends_with_its_cause(client, crew, colony, today):
    fields = {"state": "lost", "on": "2027-04-12", "cause": "starved", "version": 1}

    response = client.post(reverse("yards:colony-end", args=["C0001"]), fields)

    colony.refresh_from_db()
    assert response.url == reverse("yards:detail", args=["mill-lane"])
    assert (colony.state, colony.ended_on, colony.loss_cause) == ("lost", today, "starved")


def test_a_loss_takes_a_common_cause_or_other_words(client, crew, yard, colony):
    other = ColonyFactory(yard=yard, tag="C0002")
    fields = {"state": "lost", "on": "2027-04-12", "common": "mites", "version": 1}

    client.post(reverse("yards:colony-end", args=["C0001"]), fields)
    client.post(reverse("yards:colony-end", args=["C0002"]), fields | {"cause": "a tree fell on it"})

    for row in (colony, other):
        row.refresh_from_db()
    assert (colony.loss_cause, other.loss_cause) == ("mites", "a tree fell on it")


def test_a_loss_to_disease_says_what_to_do_at_once(client, crew, colony):
    fields = {"state": "lost", "on": "2027-04-12", "common": "disease suspected", "version": 1}

    response = client.post(reverse("yards:colony-end", args=["C0001"]), fields, follow=True)

    assert "Close the hive so that no bee robs it" in response.text


def test_a_colony_found_dead_on_a_walk_leads_back_to_the_walk(client, crew, yard, colony):
    visit = VisitFactory(yard=yard)
    fields = {"state": "lost", "on": "2027-04-12", "cause": "starved", "version": 1}

    response = client.post(f"{reverse('yards:colony-end', args=['C0001'])}?visit={visit.pk}", fields)

    assert response.url == reverse("yards:visit", args=[visit.pk])


def test_a_forged_walk_leads_back_to_the_yard(client, crew, yard, colony):
    fields = {"state": "lost", "on": "2027-04-12", "cause": "starved", "version": 1}

    response = client.post(f"{reverse('yards:colony-end', args=['C0001'])}?visit={'9' * 5000}", fields)

    assert response.url == reverse("yards:detail", args=["mill-lane"])


def test_an_end_without_a_cause_is_refused(client, crew, colony):
    fields = {"state": "lost", "on": "2027-04-12", "cause": " ", "version": 1}

    response = client.post(reverse("yards:colony-end", args=["C0001"]), fields)

    assert response.status_code == 422
    assert "This cannot be taken back" in response.text
    assert response.context["form"].errors["cause"] == ["Choose why it ended, or write it down."]
