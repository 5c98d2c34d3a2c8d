"""What waits for a person: listed, read beside what stands, and settled."""

from uuid import uuid4

import pytest
from django.urls import reverse

from apiary_ops.fieldbook.models import Record
from apiary_ops.yards.models import Colony, Look, Visit
from tests.factories.people import UserFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def record_of(yard):
    """Words a record of someone's phone as the wire has it."""

    def record_of(user, kind, payload, parent=None, device=None, **change):
        record = {
            "key": str(uuid4()),
            "kind": kind,
            "version": 2,
            "parent": parent,
            "device": device or str(uuid4()),
            "observed_by": user.pk,
            "observed_at": "2027-04-12T09:30:00-03:00",
            "payload": payload,
        }
        return record | change

    return record_of


@pytest.fixture
def question(client, record_of, send):
    """Tove saw 5.5 frames in A1, and Ib 3.5 and a half-eaten patty."""
    keys = []
    for name, facts in (
        ("Tove Brook", {"below_halves": 11}),
        ("Ib Fell", {"below_halves": 7, "patty": "half"}),
    ):
        user = UserFactory(full_name=name, crew=True)
        client.force_login(user)
        visit = record_of(user, "visit", {"yard": "mill-lane", "on": "2027-04-12", "crew": [user.pk]})
        look = record_of(user, "look", {"tag": "A1"} | facts, visit["key"])
        send({"records": [visit, look]})
        keys.append(look["key"])
    return keys[1]


def settle(client, key, **answer):
    return client.post(reverse("fieldbook:settle", args=[key]), answer)


def test_the_page_lists_what_waits_and_says_why(client, question, office):
    page = client.get(reverse("fieldbook:exceptions"))

    assert page.text.count("look A1") == 1
    assert "Tove Brook already said otherwise of A1 on this visit." in page.text
    assert reverse("fieldbook:settle", args=[question]) in page.text


def test_nothing_that_waits_says_so(client, office):
    assert "Nothing waits: every record from the yards has landed." in client.get(reverse("fieldbook:exceptions")).text


def test_what_has_landed_is_shown_when_asked_for(client, question, office):
    page = client.get(reverse("fieldbook:exceptions"), {"state": "landed"})

    assert page.text.count("visit mill-lane, Mon 12 Apr 2027") == 2
    assert question not in page.text


def test_a_question_shows_both_answers_side_by_side(client, question, office):
    context = client.get(reverse("fieldbook:settle", args=[question])).context

    assert [(row.label, row.said, row.standing) for row in context["told"]] == [
        ("Colony", "A1", ""),
        ("From below", "3.5 frames", "5.5 frames"),
        ("Patty left", "half", "not looked"),
    ]
    assert context["address"] == reverse("yards:visit", args=[Visit.objects.get().pk])
    assert [act for act, _words in context["form"].fields["act"].choices] == ["insist", "aside"]


def test_the_second_answer_can_stand(client, question, crew):
    response = settle(client, question, act="insist", because="Ib looked twice")

    assert response.url == reverse("fieldbook:exceptions")
    assert Look.objects.get().below_halves == 7
    assert Record.objects.get(pk=question).settled_by == crew


def test_setting_aside_asks_for_a_reason_and_keeps_what_was_chosen(client, question, office):
    response = settle(client, question, act="aside", because="")

    assert response.status_code == 422
    assert response.context["form"].errors == {"because": ["Say why it is set aside, so that the next person knows."]}
    assert response.context["form"]["act"].value() == "aside"
    assert Record.objects.get(pk=question).state == "question"


def test_an_act_that_is_not_open_is_no_choice(client, question, office):
    response = settle(client, question, act="again")

    assert response.status_code == 422
    assert "act" in response.context["form"].errors


def test_what_was_settled_meanwhile_is_shown_and_not_settled_again(client, question, office):
    settle(client, question, act="aside", because="Tove had better light")

    page = client.get(reverse("fieldbook:settle", args=[question]))

    assert "Tove had better light" in page.text
    assert "Settle it" not in page.text
    assert settle(client, question, act="insist").status_code == 422


def test_a_refused_look_lands_when_what_refused_it_is_mended(client, crew, yard, record_of, send):
    Colony.objects.filter(tag="A1").update(boxes=1)
    visit = record_of(crew, "visit", {"yard": "mill-lane", "on": "2027-04-12"})
    look = record_of(crew, "look", {"tag": "A1", "below_halves": 30}, visit["key"])
    send({"records": [visit, look]})
    refused = settle(client, look["key"], act="again")
    Colony.objects.filter(tag="A1").update(boxes=2)

    landed = settle(client, look["key"], act="again")

    assert refused.status_code == 422
    assert refused.context["form"].non_field_errors() == ["A1 has 1 box: at most 10 frames fit, not 15 from below."]
    assert (landed.status_code, Look.objects.get().below_halves) == (302, 30)


def test_a_record_that_cannot_be_read_is_shown_as_it_was_sent(client, crew, yard, record_of, send):
    bad = record_of(crew, "look", {"tag": "<b>A1</b>"}, observed_at="yesterday")
    strange = record_of(crew, "wish", {"wings": 4})
    send({"records": [bad, strange]})

    pages = [client.get(reverse("fieldbook:settle", args=[each["key"]])).text for each in (bad, strange)]

    assert "&lt;b&gt;A1&lt;/b&gt;" in pages[0]
    assert "<b>A1</b>" not in pages[0]
    assert "This desk does not know records of the kind “wish”." in pages[1]


@pytest.mark.parametrize(
    ("kind", "payload", "told"),
    [
        ("tally", {"counts": {"best": 2}, "dead": 1}, [("Best", "2"), ("Dead", "1")]),
        ("lost", {"tag": "A1", "cause": "mice"}, [("Colony", "A1"), ("Lost", "mice")]),
        ("task_done", {"task": 77}, [("Done", "a task that is no longer there")]),
        (
            "leave",
            {"left": "10:45", "jobs": ["feed"], "materials": [{"material": "patty", "quantity": 2}]},
            [("Left", "10:45"), ("Jobs", "fed"), ("Used", "patties: 2.00")],
        ),
        (
            "frames",
            {"from": "A1", "to": "B2", "food": 2, "with_bees": True},
            [("From", "A1"), ("To", "B2"), ("Frames of food", "2"), ("With the bees", "yes")],
        ),
    ],
)
def test_every_kind_is_told_in_words(kind, payload, told, client, crew, yard, record_of, send):
    record = record_of(crew, kind, payload, str(uuid4()))
    send({"records": [record]})

    page = client.get(reverse("fieldbook:settle", args=[record["key"]]))

    assert [(row.label, row.said) for row in page.context["told"]] == told


def test_the_list_costs_the_same_few_queries_for_twenty_that_wait(
    client, crew, yard, record_of, send, django_assert_max_num_queries
):
    looks = [record_of(crew, "look", {"tag": "A1", "below_halves": 3}, str(uuid4())) for _ in range(20)]
    send({"records": looks})

    with django_assert_max_num_queries(8):
        page = client.get(reverse("fieldbook:exceptions"))

    assert page.text.count("look A1") == 20
