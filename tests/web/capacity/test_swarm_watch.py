"""The swarm watch on one page: what is due, what was found, what it would cost."""

from datetime import date
from decimal import Decimal

import pytest
from django.urls import reverse

from tests.factories.yards import ColonyFactory, GradeRuleFactory, LookFactory, VisitFactory, YardFactory

pytestmark = pytest.mark.django_db

PAGE = reverse("capacity:swarm-watch")


@pytest.fixture
def full(season, kind):
    GradeRuleFactory(grade="good", least_frames=Decimal(0))
    yard = YardFactory(code="river", name="River yard")
    visit = VisitFactory(season=season, yard=yard, on=date(2027, 4, 12))
    return LookFactory(visit=visit, colony=ColonyFactory(yard=yard, tag="F1"), below_halves=34).colony


def test_without_a_count_it_says_what_to_do_first(client, season, sign_in):
    sign_in(crew=True)

    page = client.get(PAGE)

    assert page.status_code == 200
    assert "No colony is counted this spring yet." in page.text


@pytest.mark.usefixtures("full")
def test_crew_see_what_is_due_and_how_it_comes_about(client, sign_in):
    sign_in(crew=True)

    page = client.get(PAGE).text

    assert "check cells today" in page
    assert "not looked for yet" in page
    assert "7 to 9 days, common practice" in page
    assert reverse("yards:colony", args=["F1"]) in page


@pytest.mark.usefixtures("full")
def test_it_is_saved_as_a_file(client, sign_in):
    sign_in(office=True)

    lines = client.get(PAGE, {"export": "csv"}).text.splitlines()

    assert lines[0].startswith("\ufeffColony,State,Next check,Yard")
    assert lines[1].startswith("F1,check cells today,2027-04-12,River yard")
