"""Grade rules: shown with their sources, changed only after who changes was seen."""

from datetime import date

import pytest
from django.urls import reverse

from apiary_ops.yards.models import GradeRule
from tests.factories.yards import ColonyFactory, LookFactory, VisitFactory

pytestmark = pytest.mark.django_db
URL = "yards:rules-change"


def fields(*rules, valid_from="2027-04-12", **more):
    """A filled form; each rule is (grade, frames, sealed, counts)."""
    rows = {"rules-TOTAL_FORMS": "8", "rules-INITIAL_FORMS": "4"}
    for row, (grade, frames, sealed, counts) in enumerate(rules):
        rows |= {f"rules-{row}-grade": grade, f"rules-{row}-least_frames": frames}
        rows |= {f"rules-{row}-least_sealed_frames": sealed} | ({f"rules-{row}-gives_nucs": "on"} if counts else {})
    return {"valid_from": valid_from} | rows | more


STRICTER = [("best", "6.5", "", True), ("ordinary", "4.5", "", True), ("behind", "0", "", False)]


@pytest.fixture
def colony(yard, third_of_april):
    colony = ColonyFactory(yard=yard, tag="C0001")
    LookFactory(visit=VisitFactory(yard=yard, on=third_of_april), colony=colony, below_halves=12)
    return colony


def test_rules_and_factors_are_shown_with_their_sources(client, crew):
    page = client.get(reverse("yards:rules")).text

    assert "in force" in page
    assert "common practice: about 5 frames in early spring is ordinary" in page
    assert "common practice: warm from above lower still, no figure given" in page
    assert "These are assumptions of common practice" in page
    assert "right within half of the grade and 0.5 frames more" in page


def test_standards_of_others_stand_for_comparison_with_how_they_are_known(client, crew):
    page = client.get(reverse("yards:rules")).text

    assert "no colony is graded by it" in page
    assert "repealed on 30 June 2001: no longer law" in page
    assert "brood quoted, frames from memory" in page
    assert reverse(URL) not in page  # rules are the owner's
    assert "came with the desk" in page


def test_the_form_begins_with_the_rules_in_force(client, owner):
    rows = client.get(reverse(URL)).context["rows"]

    assert [row.initial.get("grade") for row in rows][:5] == ["best", "ordinary", "slow", "behind", None]


def test_who_changes_is_shown_and_nothing_saved(client, owner, colony):
    response = client.post(reverse(URL), fields(*STRICTER, show="1"))

    assert response.status_code == 200
    assert "1 colony would change today" in response.text
    assert "C0001" in response.text
    assert "<dt>best → ordinary</dt><dd>1</dd>" in response.text
    assert "Save these rules" in response.text
    assert GradeRule.objects.count() == 4


def test_what_was_shown_is_saved(client, owner, colony):
    shown = client.post(reverse(URL), fields(*STRICTER, show="1")).context["form"].data["shown"]

    response = client.post(reverse(URL), fields(*STRICTER, shown=shown, save="1"))

    assert response.url == reverse("yards:rules")
    saved = GradeRule.objects.filter(valid_from=date(2027, 4, 12)).order_by("place")
    assert [(rule.grade, str(rule.least_frames), rule.gives_nucs, rule.source) for rule in saved] == [
        ("best", "6.5", True, "the grower's own"),
        ("ordinary", "4.5", True, "the grower's own"),
        ("behind", "0.0", False, "the grower's own"),
    ]


def test_rules_say_who_stated_them(client, owner, colony):
    shown = client.post(reverse(URL), fields(*STRICTER, show="1")).context["form"]["shown"].value()

    page = client.post(reverse(URL), fields(*STRICTER, shown=shown, save="1"), follow=True).text

    assert page.count('data-label="Stated by">Mara Owner</td>') == 3
    assert page.count('data-label="Stated by">came with the desk</td>') == 4


def test_what_was_not_shown_is_shown_first(client, owner, colony):
    shown = client.post(reverse(URL), fields(*STRICTER, show="1")).context["form"].data["shown"]
    other = [("best", "7", "", True), *STRICTER[1:]]

    response = client.post(reverse(URL), fields(*other, shown=shown, save="1"))

    assert response.status_code == 200
    assert GradeRule.objects.count() == 4


@pytest.mark.parametrize(
    ("rules", "words"),
    [
        ([("ordinary", "4", "", True), *STRICTER], "Rule 2 (best) can never match: rule 1 (ordinary) takes all"),
        ([("best", "6", "", True)], "The last rule must take every colony"),
        ([("", "6", "", True), *STRICTER], "Name the grade, or empty the row."),
        ([("best", "", "", True), *STRICTER[1:]], "Enter the frames it takes, or 0."),
        ([("best", "21", "", True), *STRICTER[1:]], "Ensure this value is less than or equal to 20."),
    ],
)
def test_rules_that_cannot_be_are_refused(rules, words, client, owner):
    response = client.post(reverse(URL), fields(*rules, show="1"))

    assert response.status_code == 422
    assert words in response.text


def test_a_day_that_has_rules_is_refused_beside_the_field(client, owner):
    shown = client.post(reverse(URL), fields(*STRICTER, show="1")).context["form"].data["shown"]
    client.post(reverse(URL), fields(*STRICTER, shown=shown, save="1"))

    response = client.post(reverse(URL), fields(*STRICTER, shown=shown, save="1"))

    assert response.status_code == 422
    assert response.context["form"].errors["valid_from"] == [
        "Rules from Mon 12 Apr 2027 are already there and never change. Choose a later day."
    ]


def test_the_office_reads_rules_and_does_not_change_them(client, office):
    assert client.get(reverse("yards:rules")).status_code == 200
    assert client.get(reverse(URL)).status_code == 403
