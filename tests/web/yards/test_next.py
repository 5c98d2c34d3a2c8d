"""Which yard next: each yard in its place, with the reasons in a sentence and the assumptions beside."""

from datetime import date

import pytest
from django.urls import reverse

from apiary_ops.business.models import Business
from apiary_ops.yards.models import NoGo
from tests.factories.yards import (
    ColonyFactory,
    HoldFactory,
    LookFactory,
    TaskFactory,
    TreatmentFactory,
    VisitFactory,
    YardFactory,
)

pytestmark = pytest.mark.django_db


@pytest.fixture
def fresh(season):
    """A yard looked at two days ago, with nothing to do."""
    yard = YardFactory(code="fresh", name="Fresh Field", round_trip_km=30)
    LookFactory(visit=VisitFactory(yard=yard, season=season, on=date(2027, 4, 10)), colony=ColonyFactory(yard=yard))
    return yard


def places(client):
    return [row.yard.code for row in client.get(reverse("yards:next")).context["found"].rows]


def test_the_yard_with_most_at_stake_comes_first_with_its_reasons(client, crew, yard, fresh, season):
    colony = ColonyFactory(yard=yard)
    LookFactory(visit=VisitFactory(yard=yard, season=season, on=date(2027, 3, 27)), colony=colony)
    TaskFactory(yard=yard, season=season, rule="cells", due_on=date(2027, 4, 11))
    TaskFactory(yard=yard, season=season, rule="cells", due_on=date(2027, 4, 13))
    TaskFactory(yard=yard, season=season, rule="patty", due_on=date(2027, 5, 13))
    TreatmentFactory(yard=yard, due_out_on=date(2027, 4, 7))

    response = client.get(reverse("yards:next"))

    first, second = response.context["found"].rows
    assert (first.yard, first.points) == (yard, 10 + 5 + 4 + 3)
    assert first.reasons == ("Strips late in 1 hive; 1 cell check late; not looked at for 16 days; 1 cell check due.")
    assert (second.yard, second.reasons) == (fresh, "Nothing waits here.")
    assert "Start a visit to Mill Lane" in response.text


def test_of_two_equals_the_nearer_comes_first(client, crew, season):
    for code, km in (("a-far", 90), ("b-near", 20)):
        ColonyFactory(yard=YardFactory(code=code, round_trip_km=km))

    assert places(client) == ["b-near", "a-far"]


def test_held_and_shut_yards_stand_last_and_say_why(client, crew, yard, fresh, season):
    visit = VisitFactory(yard=yard, season=season, on=date(2027, 4, 10))
    LookFactory(visit=visit, colony=ColonyFactory(yard=yard))
    TaskFactory.create_batch(5, yard=yard, season=season, rule="cells", due_on=date(2027, 4, 1))
    HoldFactory(yard=yard, reason="sprayed field")
    shut = YardFactory(code="shut", name="Shut")
    ColonyFactory(yard=shut)
    NoGo.objects.create(yard=shut, starts_on=date(2027, 4, 10), ends_on=date(2027, 4, 14), reason="lambing")

    rows = client.get(reverse("yards:next")).context["found"].rows

    assert [row.yard.code for row in rows] == ["fresh", "mill-lane", "shut"]
    assert rows[1].reasons.startswith("On hold (sprayed field): go there last, clean your tools after; 5 cell checks")
    assert rows[2].reasons.startswith("Nobody may come until the end of Wed 14 Apr (lambing); not looked at")


def test_days_ahead_on_which_nobody_may_come_are_shown(client, crew, fresh):
    NoGo.objects.create(yard=fresh, starts_on=date(2027, 4, 20), ends_on=date(2027, 4, 20), reason="a wedding")
    NoGo.objects.create(yard=fresh, starts_on=date(2027, 5, 20), ends_on=date(2027, 5, 20), reason="spraying")

    row = client.get(reverse("yards:next")).context["found"].rows[0]

    assert row.reasons == "Nothing waits here; nobody may come on Tue 20 Apr (a wedding)."


def test_hours_come_from_the_seasons_own_pace(client, crew, yard, season):
    visit = VisitFactory(yard=yard, season=season, on=date(2027, 4, 3), minutes=30)
    for colony in ColonyFactory.create_batch(10, yard=yard):
        LookFactory(visit=visit, colony=colony)

    response = client.get(reverse("yards:next"))

    assert str(response.context["found"].rows[0].hours) == "0.5"
    assert "Hours: 3.0 minutes a hive, from 1 visit of this season." in response.text


def test_without_own_visits_common_practice_is_taken_and_said(client, crew, yard):
    ColonyFactory.create_batch(30, yard=yard)

    response = client.get(reverse("yards:next"))

    assert str(response.context["found"].rows[0].hours) == "1.0"
    assert "common practice being 1.5 to 3" in response.text


def test_patties_are_cautioned_where_hive_beetle_is_about(client, crew, yard, season):
    TaskFactory(yard=yard, season=season, rule="patty", due_on=date(2027, 4, 13))
    without = client.get(reverse("yards:next")).text
    Business.objects.update(has_hive_beetle=True)

    assert "small hive beetle is about and breeds" not in without
    assert "small hive beetle is about and breeds" in client.get(reverse("yards:next")).text


def test_what_is_late_is_said_among_what_is_due(client, crew, yard, season):
    for day, number in ((11, 2), (13, 1)):
        TaskFactory.create_batch(number, yard=yard, season=season, rule="cells", due_on=date(2027, 4, day))
    TaskFactory(yard=yard, season=season, rule="patty", due_on=date(2027, 4, 13))
    TaskFactory(yard=yard, season=season, due_on=date(2027, 4, 11))

    row = client.get(reverse("yards:next")).context["found"].rows[0]

    assert (row.cells.words, row.patties.words, row.others.words, row.strips.words) == ("3, 2 late", "1", "1 late", "")


def test_an_empty_desk_says_what_to_do_first(client, crew):
    assert "No yard has colonies or work yet." in client.get(reverse("yards:next")).text


def test_the_list_is_a_file_too(client, crew, fresh):
    file = client.get(reverse("yards:next"), {"export": "csv"}).text

    assert "Fresh Field" in file
    assert "Nothing waits here." in file


def test_twenty_yards_take_a_fixed_number_of_queries(client, crew, season, django_assert_max_num_queries):
    for yard in YardFactory.create_batch(20):
        ColonyFactory(yard=yard)
        TaskFactory(yard=yard, season=season, rule="cells")

    with django_assert_max_num_queries(16):
        response = client.get(reverse("yards:next"))

    assert response.status_code == 200
