"""The list of nucs and the page of one: what each reader must see, and refusals beside their fields."""

from datetime import date

import pytest
from django.urls import reverse

from apiary_ops.nucs import services
from apiary_ops.nucs.models import Check
from tests.factories.business import BusinessFactory, SeasonFactory
from tests.factories.nucs import made_batch
from tests.factories.people import UserFactory
from tests.factories.queens import received_lot
from tests.factories.yards import HoldFactory

pytestmark = pytest.mark.django_db

GOOD = {
    "queen": "laying",
    "covered_halves": 8,
    "brood_halves": 6,
    "own_sealed_brood": True,
    "food_halves": 2,
    "queen_cells": False,
    "disease_clear": True,
}


@pytest.fixture
def season(settings):
    settings.PRETENDED_TODAY = date(2027, 6, 2)
    BusinessFactory()
    return SeasonFactory()


def check(nuc, actor, on=date(2027, 6, 1), **seen):
    services.record_check(nuc_id=nuc.pk, on=on, actor=actor, **{**GOOD, **seen})


# --- The list.


def test_an_empty_season_says_what_to_do_first(client, crew):
    response = client.get(reverse("nucs:list"))

    assert response.status_code == 200
    assert "No nucs are made this season." in response.text
    assert reverse("nucs:split-day-plan") in response.text


def test_the_list_says_how_each_nuc_stands_and_until_when_it_keeps(client, crew):
    ready, waiting, held = made_batch(3).nucs.order_by("number")
    check(ready, crew)
    check(held, crew)
    services.hold_nuc(nuc_id=held.pk, reason="spotty brood", actor=crew)

    response = client.get(reverse("nucs:list"))

    rows = {row[0]: row[6:8] for row in list(response.context["table"].rows_as_text())[1:]}
    assert rows == {
        "1": ["ready", "2027-06-11"],
        "2": ["not yet", ""],
        "3": ["on hold", "2027-06-11"],
    }
    assert response.context["ready"] == 1
    assert "Fri 11 Jun" in response.text


@pytest.mark.parametrize(
    ("query", "numbers"),
    [
        ("?state=laying", ["1"]),
        ("?state=live", ["1", "2"]),
        ("?state=lost", ["3"]),
        ("?ready=today", ["1"]),
        ("?ready=over", []),
        ("?sort=-number", ["3", "2", "1"]),
    ],
)
def test_the_list_is_narrowed_and_sorted_by_its_address(client, crew, query, numbers):
    ready, _waiting, lost = made_batch(3).nucs.order_by("number")
    check(ready, crew)
    services.end_nuc(nuc_id=lost.pk, state="lost", on=date(2027, 5, 20), cause="robbed out", actor=crew)

    table = client.get(reverse("nucs:list") + query).context["table"]

    assert [row[0] for row in list(table.rows_as_text())[1:]] == numbers


def test_the_list_is_narrowed_to_a_batch_kind_and_yard(client, crew):
    batch = made_batch(1)
    made_batch(1)
    query = f"?batch={batch.pk}&kind={batch.kind_id}&yard={batch.stands_at_id}"

    table = client.get(reverse("nucs:list") + query).context["table"]

    assert len(table.records) == 1


@pytest.mark.parametrize("number", ["9" * 40, "-1", "nan", "x"])
def test_a_batch_that_cannot_be_leaves_the_list_standing(client, crew, number):
    assert client.get(reverse("nucs:list"), {"batch": number}).status_code == 200


def test_the_list_is_saved_as_a_file(client, crew):
    made_batch(2)

    response = client.get(reverse("nucs:list") + "?export=csv")

    assert response["Content-Type"] == "text/csv; charset=utf-8"
    assert "nucs-2027.csv" in response["Content-Disposition"]
    assert len(response.text.splitlines()) == 3


def test_a_long_list_takes_a_bounded_number_of_queries(client, crew, django_assert_max_num_queries):
    made_batch(20)

    with django_assert_max_num_queries(16):
        client.get(reverse("nucs:list"))


# --- One nuc.


def test_a_nuc_shows_its_standard_item_by_item(client, crew):
    nuc = made_batch(1).nucs.get()
    check(nuc, crew, covered_halves=6, brood_halves=None)

    text = client.get(reverse("nucs:nuc", args=[nuc.pk])).text

    for words in ("3 of 4 frames covered", "brood not looked at", "from Tue 25 May", "Tue 1 Jun 2027", "met"):
        assert words in text


def test_crew_sees_no_money_on_a_nuc_and_the_bookkeeper_does(client, crew):
    nuc = made_batch(1).nucs.get()

    for_crew = client.get(reverse("nucs:nuc", args=[nuc.pk])).text
    client.force_login(UserFactory(bookkeeper=True))
    for_books = client.get(reverse("nucs:nuc", args=[nuc.pk])).text

    assert "48.00" not in for_crew
    assert "CAD" not in for_crew
    assert "48.00 CAD" in for_books


def test_a_nuc_says_what_became_of_it(client, crew):
    nuc = made_batch(1).nucs.get()
    services.end_nuc(nuc_id=nuc.pk, state="lost", on=date(2027, 5, 20), cause="robbed out", actor=crew)

    text = client.get(reverse("nucs:nuc", args=[nuc.pk])).text

    assert "robbed out" in text
    assert "Thu 20 May 2027" in text
    assert "Against its sale standard" not in text


def test_a_nuc_in_a_held_yard_says_so(client, crew):
    batch = made_batch(1)
    HoldFactory(yard=batch.stands_at, reason="inspector's order", starts_on=date(2027, 6, 1))

    text = client.get(reverse("nucs:nuc", args=[batch.nucs.get().pk])).text

    assert "inspector&#x27;s order" in text
    assert "on hold" in text


def test_one_nuc_is_checked(client, crew):
    nuc = made_batch(1).nucs.get()
    url = reverse("nucs:check", args=[nuc.pk])
    key = client.get(url).context["sheet"].head["once_key"].value()

    response = client.post(url, {"once_key": key, "on": "2027-06-01", f"nuc{nuc.pk}-covered_halves": "7"})

    assert response.status_code == 302
    assert Check.objects.get().covered_halves == 7


def test_a_failed_nuc_is_requeened(client, crew):
    nuc = made_batch(1).nucs.get()
    check(nuc, crew, on=date(2027, 5, 15), queen="missing")
    lot = received_lot(received=2)

    response = client.post(reverse("nucs:requeen", args=[nuc.pk]), {"lot": lot.pk, "on": "2027-05-16"})

    assert response.url == reverse("nucs:nuc", args=[nuc.pk])
    nuc.refresh_from_db()
    assert nuc.state == "queened"


def test_a_queen_put_in_too_early_is_refused_beside_the_day(client, crew):
    nuc = made_batch(1).nucs.get()
    check(nuc, crew, on=date(2027, 5, 15), queen="missing")
    lot = received_lot(received=2, received_on=date(2027, 5, 1))

    response = client.post(reverse("nucs:requeen", args=[nuc.pk]), {"lot": lot.pk, "on": "2027-05-04"})

    assert response.status_code == 422
    assert "after the last one" in response.context["form"].errors["on"][0]


def test_the_end_of_a_nuc_is_confirmed_with_its_cause(client, crew):
    nuc = made_batch(1).nucs.get()
    url = reverse("nucs:end", args=[nuc.pk])

    assert "This cannot be taken back." in client.get(url).text
    refused = client.post(url, {"state": "lost", "on": "2027-05-20", "cause": ""})
    done = client.post(url, {"state": "lost", "on": "2027-05-20", "cause": "robbed out"})

    assert refused.status_code == 422
    assert refused.context["form"].errors["cause"] == ["Say what the nuc was lost to, as far as you can tell."]
    assert done.status_code == 302
    nuc.refresh_from_db()
    assert (nuc.state, nuc.loss_cause) == ("lost", "robbed out")


def test_a_day_to_come_is_refused_beside_the_day(client, crew):
    nuc = made_batch(1).nucs.get()

    response = client.post(reverse("nucs:end", args=[nuc.pk]), {"state": "kept", "on": "2027-06-03", "cause": ""})

    assert response.context["form"].errors["on"] == ["That day is still to come."]


def test_a_nuc_is_held_by_the_crew_and_released_by_the_office(client, crew):
    nuc = made_batch(1).nucs.get()

    client.post(reverse("nucs:hold", args=[nuc.pk]), {"reason": "spotty brood"})
    nuc.refresh_from_db()
    assert nuc.hold_reason == "spotty brood"
    assert client.get(reverse("nucs:release", args=[nuc.pk])).status_code == 403

    client.force_login(UserFactory(office=True))
    assert "spotty brood" in client.get(reverse("nucs:release", args=[nuc.pk])).text
    client.post(reverse("nucs:release", args=[nuc.pk]))

    nuc.refresh_from_db()
    assert nuc.hold_reason == ""


def test_a_second_hold_is_refused_with_the_first_reason(client, crew):
    nuc = made_batch(1).nucs.get()
    services.hold_nuc(nuc_id=nuc.pk, reason="spotty brood", actor=crew)

    response = client.post(reverse("nucs:hold", args=[nuc.pk]), {"reason": "again"})

    assert response.status_code == 422
    assert "already on hold: spotty brood" in response.text


def test_a_nuc_kept_too_long_is_found(client, crew, settings):
    nuc = made_batch(1).nucs.get()
    check(nuc, crew)
    settings.PRETENDED_TODAY = date(2027, 6, 12)

    response = client.get(reverse("nucs:list") + "?ready=over")

    assert "kept too long" in response.text
    assert [row[0] for row in list(response.context["table"].rows_as_text())[1:]] == ["1"]
