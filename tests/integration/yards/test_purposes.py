"""What colonies are kept for, and in which days: it decides whether they count for nucs."""

from datetime import date

import pytest

from apiary_ops.business import stamps
from apiary_ops.yards import queries, services
from apiary_ops.yards.models import Colony
from tests.factories.business import SeasonFactory
from tests.factories.yards import ColonyFactory, LookFactory, VisitFactory, YardFactory

pytestmark = pytest.mark.django_db

FIRST, LAST = date(2027, 5, 1), date(2027, 5, 20)


def keep(colony, actor, purpose="pollination", first=FIRST, last=LAST):
    return services.set_purpose(colony_id=colony.pk, purpose=purpose, starts_on=first, ends_on=last, actor=actor)


def test_a_purpose_has_its_days(ada):
    season, colony = SeasonFactory(year=2027), ColonyFactory()

    keep(colony, ada)

    colony.refresh_from_db()
    assert (colony.purpose, colony.purpose_from, colony.purpose_until) == ("pollination", FIRST, LAST)
    assert colony.purpose_words == "pollination contract, Sat 1 May 2027 to Thu 20 May 2027"
    assert stamps.read(season.pk, ["yards"]) == {"yards": 1}


@pytest.mark.parametrize(
    ("first", "last", "words"),
    [
        (None, None, "honey"),
        (FIRST, None, "honey, from Sat 1 May 2027"),
        (None, LAST, "honey, until Thu 20 May 2027"),
    ],
)
def test_a_purpose_says_its_days_in_words(first, last, words, ada):
    assert keep(ColonyFactory(), ada, "honey", first, last).purpose_words == words


def test_kept_for_nucs_needs_no_days_and_keeps_none(ada):
    colony = ColonyFactory(purpose="honey", purpose_from=FIRST)

    keep(colony, ada, "nucs")

    colony.refresh_from_db()
    assert (colony.purpose, colony.purpose_from, colony.purpose_until) == ("nucs", None, None)


def test_a_purpose_does_not_end_before_it_begins(ada):
    with pytest.raises(services.PurposeEndsTooEarly, match=r"^The last day cannot come before the first\.$"):
        keep(ColonyFactory(), ada, first=LAST, last=FIRST)


@pytest.mark.parametrize(
    ("day", "left_out"),
    [
        (date(2027, 4, 30), ""),
        (FIRST, "kept for a pollination contract"),
        (LAST, "kept for a pollination contract"),
        (date(2027, 5, 21), ""),
    ],
)
def test_a_contract_takes_a_colony_out_of_capacity_on_its_days_only(day, left_out, ada):
    services.install_reference_rules()
    season, yard = SeasonFactory(year=2027), YardFactory()
    colony = ColonyFactory(yard=yard)
    LookFactory(visit=VisitFactory(yard=yard, season=season), colony=colony, below_halves=12)
    colony = keep(colony, ada)

    (graded,) = queries.graded_colonies(season.pk, day)

    assert (graded.left_out_because, graded.gives_nucs) == (left_out, not left_out)
    assert colony.counts_for_nucs_on(day) is not bool(left_out)
    assert Colony.objects.filter(queries.kept_for_nucs(day)).exists() is not bool(left_out)
