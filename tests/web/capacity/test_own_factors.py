"""Own factors: shown to crew, accepted by the owner, one quiet line on the page of rules."""

from datetime import date

import pytest
from django.urls import reverse

from apiary_ops.yards import services as yards
from apiary_ops.yards.models import Factor
from tests.factories.yards import ColonyFactory, LookFactory, VisitFactory, YardFactory

pytestmark = pytest.mark.django_db

PAGE, ACCEPT = reverse("capacity:own-factors"), reverse("capacity:own-factor-accept")
SHOWN = {"view": "above", "warmer_than_c": "-30.0", "factor": "0.88"}


@pytest.fixture
def pairs(season):
    """Twelve colonies counted both ways on a cool day: seven frames from below, eight from above."""
    yards.install_reference_rules()
    visit = VisitFactory(season=season, yard=YardFactory(), on=date(2027, 4, 3))
    for _ in range(12):
        LookFactory(visit=visit, colony=ColonyFactory(yard=visit.yard), below_halves=14, above_halves=16)


def test_without_pairs_it_says_how_to_get_them(client, season, sign_in):
    sign_in(crew=True)

    assert "No pairs of counts yet." in client.get(PAGE).text


@pytest.mark.usefixtures("pairs")
def test_the_owner_takes_an_own_factor(client, sign_in):
    owner = sign_in()
    assert "Take 0.88 from today" in client.get(PAGE).text

    answer = client.post(ACCEPT, SHOWN, follow=True)

    assert "Your own factor counts from today." in answer.text
    assert Factor.objects.get(valid_from=date(2027, 4, 12)).stated_by == owner


@pytest.mark.usefixtures("pairs")
def test_crew_see_it_and_cannot_take_it(client, sign_in):
    sign_in(crew=True)

    assert "Take 0.88 from today" not in client.get(PAGE).text
    assert client.post(ACCEPT, SHOWN).status_code == 403


@pytest.mark.usefixtures("pairs")
def test_a_factor_that_was_not_shown_is_refused(client, sign_in):
    sign_in()

    answer = client.post(ACCEPT, SHOWN | {"factor": "0.50"}, follow=True)

    assert "Your pairs of counts no longer speak for this factor." in answer.text
    assert client.post(ACCEPT, {"view": "sideways"}).status_code == 404


@pytest.mark.usefixtures("pairs")
def test_the_page_of_rules_says_so_in_one_line(client, sign_in):
    sign_in(crew=True)

    page = client.get(reverse("yards:rules")).text

    assert "Your own pairs of counts speak for another factor in 1 band." in page
    assert PAGE in page


def test_the_page_of_rules_is_quiet_without_pairs(client, season, sign_in):
    sign_in(crew=True)

    assert PAGE not in client.get(reverse("yards:rules")).text
