"""Two rounds on one page, and the picture of a yard over the season on its own."""

from datetime import date

import pytest
from django.urls import reverse

from tests.factories.yards import ColonyFactory, LookFactory, VisitFactory

pytestmark = pytest.mark.django_db

PAGE = reverse("yards:change")


@pytest.fixture
def rounds(yard, season):
    """Four colonies counted on three days, some weeks apart; one falls."""
    colonies = [ColonyFactory(yard=yard, tag=f"C{number}") for number in range(4)]
    for on, counts in {
        date(2027, 2, 20): (8, 8, 8, 8),
        date(2027, 3, 27): (10, 10, 10, 12),
        date(2027, 4, 10): (14, 14, 14, 6),
    }.items():
        there = VisitFactory(season=season, yard=yard, on=on)
        for colony, halves in zip(colonies, counts, strict=True):
            LookFactory(visit=there, colony=colony, below_halves=halves)


def test_before_two_rounds_it_says_what_to_do(client, crew):
    page = client.get(PAGE)

    assert page.status_code == 200
    assert "There are no two rounds of looks to compare yet." in page.text


@pytest.mark.usefixtures("rounds")
def test_the_last_two_rounds_stand_side_by_side(client, crew):
    page = client.get(PAGE).text

    assert "Sat 27 Mar 2027" in page
    assert "−3.0" in page
    assert page.index(">C3</a>") < page.index(">C0</a>")
    assert "Mean strength of each yard in both rounds, frames" in page
    assert "Grades by yard today" in page


@pytest.mark.usefixtures("rounds")
def test_other_rounds_can_be_chosen_in_either_order(client, crew):
    page = client.get(PAGE, {"then": "0", "now": "2"}).text

    assert "+3.0" in page


@pytest.mark.usefixtures("rounds")
@pytest.mark.parametrize("query", [{"then": "9"}, {"then": "x", "now": "y"}])
def test_a_choice_that_makes_no_sense_shows_the_last_two(client, crew, query):
    page = client.get(PAGE, query)

    assert page.status_code == 200
    assert "−3.0" in page.text


@pytest.mark.usefixtures("rounds")
def test_the_colonies_are_saved_as_a_file(client, crew):
    lines = client.get(PAGE, {"export": "csv"}).text.splitlines()

    assert lines[1].startswith("C3,fell,Mill Lane,")


@pytest.mark.usefixtures("rounds")
def test_a_yard_shows_its_strength_over_the_season(client, crew):
    page = client.get(reverse("yards:detail", args=["mill-lane"])).text

    assert "Strength over the season" in page
    assert page.count("<circle") == 3
    assert "Sat 10 Apr 2027" in page


def test_a_yard_nobody_looked_at_has_no_picture(client, crew, yard):
    assert "Strength over the season" not in client.get(reverse("yards:detail", args=["mill-lane"])).text
