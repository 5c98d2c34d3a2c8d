"""The doors of a phone: who it is, what it takes along, what it brings home."""

import json
from datetime import date
from decimal import Decimal
from uuid import uuid4

import pytest
from django.test import Client
from django.urls import reverse

from apiary_ops.fieldbook.models import Record
from apiary_ops.yards.models import Look, Visit
from tests.factories.people import UserFactory
from tests.factories.yards import (
    ColonyFactory,
    FrameMoveFactory,
    HoldFactory,
    LookFactory,
    TaskFactory,
    VisitFactory,
    YardFactory,
)

pytestmark = pytest.mark.django_db


def a_visit(user, **change):
    payload = {"yard": "mill-lane", "on": "2027-04-12", "crew": [user.pk], "temperature_c": "6.0", "view": "below"}
    record = {
        "key": str(uuid4()),
        "kind": "visit",
        "version": 2,
        "parent": None,
        "device": str(uuid4()),
        "observed_by": user.pk,
        "observed_at": "2027-04-12T09:30:00-03:00",
        "payload": payload,
    }
    return record | change


def test_the_session_names_who_is_signed_in_and_gives_the_token(client, crew):
    answer = client.get(reverse("fieldbook:session")).json()

    assert answer["user"] == {"id": crew.pk, "name": str(crew)}
    assert (answer["today"], answer["version"], len(answer["csrf"])) == ("2027-04-12", 2, 64)


@pytest.mark.parametrize("page", ["session", "yards", "records"])
def test_a_phone_that_is_signed_out_is_told_so_and_never_sent_elsewhere(page, client, season):
    response = client.get(reverse(f"fieldbook:{page}"))

    assert (response.status_code, response.json()) == (401, {"error": "signed out"})


def test_a_role_that_does_not_go_to_the_yards_is_refused_in_json(client, season):
    client.force_login(UserFactory(gate=True))

    response = client.get(reverse("fieldbook:session"))

    assert (response.status_code, response.json()) == (403, {"error": "Your role does not open the field book."})


def test_posting_needs_the_token_of_the_session(crew, yard):
    strict = Client(enforce_csrf_checks=True)
    strict.force_login(crew)
    token = strict.get(reverse("fieldbook:session")).json()["csrf"]
    body = json.dumps({"records": []})

    without = strict.post(reverse("fieldbook:records"), body, content_type="application/json")
    having = strict.post(
        reverse("fieldbook:records"), body, content_type="application/json", headers={"X-CSRFToken": token}
    )

    assert (without.status_code, having.status_code, having.json()) == (403, 200, {"outcomes": []})


def test_the_yards_to_choose_from_say_what_stands_there(client, crew, yard):
    HoldFactory(yard=yard, reason="foulbrood suspected")
    LookFactory(visit__yard=yard, visit__on=date(2027, 4, 3), colony=yard.colonies.first())
    YardFactory(code="closed", is_active=False)

    answer = client.get(reverse("fieldbook:yards")).json()

    assert answer == [
        {
            "code": "mill-lane",
            "name": "Mill Lane",
            "colonies": 3,
            "on_hold": "foulbrood suspected",
            "looked_on": "2027-04-03",
        }
    ]


def test_the_pack_holds_the_yard_and_its_colonies_in_walking_order(client, crew, yard, season):
    a1, b2 = yard.colonies.get(tag="A1"), yard.colonies.get(tag="B2")
    visit = VisitFactory(yard=yard, season=season, temperature_c=Decimal("6.0"))
    LookFactory(visit=visit, colony=a1, below_halves=11, lower_box="few", patty="half", cells="seen")
    FrameMoveFactory(from_colony=b2, to_colony=a1, on=date(2027, 4, 3), brood_frames=2)
    FrameMoveFactory(from_colony=b2, to_colony=a1, on=date(2027, 1, 3), brood_frames=1)
    own = TaskFactory(yard=yard, season=season, colony=b2, what="Patty", due_on=date(2027, 4, 14))
    all_of_it = TaskFactory(yard=yard, season=season, what="Mow", due_on=date(2027, 4, 20))
    UserFactory(full_name="Ib Desk", office=True)
    UserFactory(full_name="Gone Fell", crew=True, is_active=False)
    owner = UserFactory(full_name="Mara Owner")

    pack = client.get(reverse("fieldbook:pack", args=["mill-lane"])).json()

    assert (pack["version"], pack["today"], pack["season"]) == (2, "2027-04-12", {"id": season.pk, "year": 2027})
    assert pack["yard"] == {
        "code": "mill-lane",
        "name": "Mill Lane",
        "hazards": "Bull in the near field.",
        "access_notes": "",
        "gate_code": "2468",
        "round_trip_km": 64,
        "on_hold": "",
        "inspector": "Provincial bee inspector",
        "inspector_phone": "555 0142",
        "no_go": [],
    }
    assert pack["units"] == {"temperature": "C", "distance": "km"}
    names = [person["name"] for person in pack["crew"]]
    assert {"id": owner.pk, "name": "Mara Owner"} in pack["crew"]
    assert str(crew) in names
    assert not {"Ib Desk", "Gone Fell"} & set(names)
    assert [colony["tag"] for colony in pack["colonies"]] == ["A1", "B2", "C3"]
    assert pack["colonies"][0]["last"] == {
        "on": "2027-04-03",
        "frames": "5.5",
        "spread": "0.5",
        "words": "queen cells: cells left; lower box: a few; patty: half",
        "below_halves": 11,
        "above_halves": None,
        "lower_box": "few",
        "patty": "half",
    }
    assert pack["colonies"][0]["frame_moves"] == [
        {"on": "2027-04-03", "from": "B2", "to": "A1", "words": "2 frames of brood"}
    ]
    assert pack["colonies"][1]["tasks"] == [{"id": own.pk, "what": "Patty", "rule": "", "due_on": "2027-04-14"}]
    assert (pack["colonies"][2]["last"], pack["colonies"][2]["purpose"]) == (None, "nucs")
    assert pack["tasks"] == [{"id": all_of_it.pk, "what": "Mow", "rule": "", "due_on": "2027-04-20"}]
    assert pack["loss_causes"][0] == ["starved", "starved"]
    assert ["patty", "patties"] in pack["materials"]
    assert ["strips", "pulled strips"] in pack["jobs"]


def test_a_pack_tells_nothing_of_money_or_buyers(client, crew, yard):
    text = client.get(reverse("fieldbook:pack", args=["mill-lane"])).content.decode()

    assert not any(word in text for word in ("cents", "price", "buyer", "deposit", "email", "password"))


def test_forty_colonies_are_packed_in_a_few_queries(client, crew, yard, season, django_assert_max_num_queries):
    visit = VisitFactory(yard=yard, season=season)
    for place in range(10, 47):
        LookFactory(visit=visit, colony=ColonyFactory(yard=yard, position=place))

    with django_assert_max_num_queries(24):
        pack = client.get(reverse("fieldbook:pack", args=["mill-lane"])).json()

    assert len(pack["colonies"]) == 40


def test_a_yard_that_is_not_there_cannot_be_packed(client, crew, yard):
    response = client.get(reverse("fieldbook:pack", args=["nowhere"]))

    assert (response.status_code, response.json()) == (404, {"error": "No yard in use has the code nowhere."})


def test_what_is_sent_lands_and_each_record_is_answered_in_order(crew, yard, send):
    visit = a_visit(crew)
    look = a_visit(crew, kind="look", parent=visit["key"], payload={"tag": "A1", "below_halves": 9})

    response = send({"records": [visit, look]})

    assert response.json() == {
        "outcomes": [
            {"key": visit["key"], "state": "landed", "words": ""},
            {"key": look["key"], "state": "landed", "words": ""},
        ]
    }
    assert (Visit.objects.get().on, Look.objects.get().below_halves) == (date(2027, 4, 12), 9)


@pytest.mark.parametrize(
    ("body", "words"),
    [
        ("{", "This is not JSON."),
        ("[" * 100_000, "This is not JSON."),
        ("[]", "Send {“records”: [ … ]}."),
        ('{"records": {}}', "Send {“records”: [ … ]}."),
        (json.dumps({"records": [{}] * 51}), "At most 50 records at once; these are 51."),
        (json.dumps({"records": ["x" * 2_600_000]}), "That is too much at once. Send fewer records."),
    ],
)
def test_a_body_that_is_no_list_of_records_is_refused_whole(body, words, crew, yard, send):
    response = send(body)

    assert (response.status_code, response.json()) == (400, {"error": words})
    assert Record.objects.count() == 0


def test_numbers_without_end_are_refused_and_kept_as_words(crew, yard, send):
    visit = json.dumps(a_visit(crew)).replace('"6.0"', "Infinity")

    outcome = send('{"records": [' + visit + "]}").json()["outcomes"][0]

    assert (outcome["state"], Record.objects.get().payload["temperature_c"]) == ("refused", "inf")


def test_a_busy_database_asks_for_all_of_it_again(crew, yard, send, monkeypatch):
    from django.db import OperationalError

    from apiary_ops.fieldbook import services

    def busy(**_ignored):
        raise OperationalError("database is locked")

    monkeypatch.setattr(services, "land_records", busy)

    response = send({"records": [a_visit(crew)]})

    assert (response.status_code, response.json()) == (
        503,
        {"error": "The desk is busy. Everything may be sent again."},
    )
