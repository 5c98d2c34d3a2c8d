"""Three depths of record: each colony, a sample, a tally of the yard; the nearest and the latest tells."""

from collections import Counter
from datetime import date
from decimal import Decimal

import pytest

from apiary_ops.yards import queries, services
from tests.factories.business import SeasonFactory
from tests.factories.yards import ColonyFactory, LookFactory, TallyFactory, VisitFactory, YardFactory

pytestmark = pytest.mark.django_db

TODAY = date(2027, 5, 20)


@pytest.fixture
def season():
    services.install_reference_rules()
    return SeasonFactory(year=2027)


def tally(season, yard, counts, on=date(2027, 4, 3), dead=0):
    visit = VisitFactory(season=season, yard=yard, on=on, depth="tally", temperature_c=Decimal(6))
    return TallyFactory(visit=visit, counts=counts, dead=dead)


def graded(season, today=TODAY):
    return {row.tag: row for row in queries.graded_colonies(season.pk, today)}


def test_a_tallied_yard_is_graded_without_a_look(season, yard):
    ColonyFactory.create_batch(4, yard=yard)
    tally(season, yard, {"best": 1, "ordinary": 2, "behind": 1})

    found = graded(season).values()

    assert Counter(row.grade for row in found) == {"best": 1, "ordinary": 2, "behind": 1}
    assert {(row.basis, row.looked_on, row.sealed_frames) for row in found} == {("tally", date(2027, 4, 3), None)}
    assert {row.basis_words for row in found} == {"by the tally of 3 Apr, not told apart"}
    ordinary = next(row for row in found if row.grade == "ordinary")
    assert (ordinary.strength_words, ordinary.grade_note) == (
        "5.0 ± 1.0",
        "rule 2 of 1 Jan 2020: ordinary from 4.5 frames; by the tally of 3 Apr, not told apart",
    )


def test_before_its_day_a_tally_says_nothing(season, yard):
    ColonyFactory(yard=yard, tag="A")
    tally(season, yard, {"best": 1})

    assert graded(season, date(2027, 4, 2))["A"].left_out_because == "not counted this season"


def test_the_dead_of_a_tally_are_left_out(season, yard):
    ColonyFactory.create_batch(3, yard=yard)
    tally(season, yard, {"best": 2}, dead=1)

    reasons = Counter(row.left_out_because for row in graded(season).values())

    assert reasons == {"": 2, "not counted alive in the tally of 3 Apr": 1}


def test_a_colony_lost_since_leaves_its_yards_grades_in_proportion(season, yard):
    colonies = ColonyFactory.create_batch(4, yard=yard)
    tally(season, yard, {"best": 2, "slow": 2})
    for colony in colonies[:2]:
        colony.state, colony.ended_on = "lost", date(2027, 4, 10)
        colony.save()

    assert Counter(row.grade for row in graded(season).values()) == {"best": 1, "slow": 1}


def test_a_colony_that_came_after_the_tally_is_not_told_of(season, yard):
    ColonyFactory(yard=yard, tag="A")
    ColonyFactory(yard=yard, tag="NEW", started_on=date(2027, 4, 20))
    tally(season, yard, {"best": 2})

    assert (graded(season)["A"].grade, graded(season)["NEW"].grade) == ("best", "")


@pytest.mark.parametrize(
    ("looked_on", "basis"),
    [
        (date(2027, 3, 12), "tally"),  # 22 days before the tally
        (date(2027, 3, 13), "look"),
        (date(2027, 4, 3), "look"),
        (date(2027, 4, 20), "look"),
    ],
)
def test_a_look_of_its_own_stands_against_a_tally_up_to_21_days_later(looked_on, basis, season, yard):
    colony = ColonyFactory(yard=yard, tag="A")
    LookFactory(visit=VisitFactory(season=season, yard=yard, on=looked_on), colony=colony, below_halves=12)
    tally(season, yard, {"slow": 1})

    assert graded(season)["A"].basis == basis


def test_an_old_look_still_tells_of_the_queen(season, yard):
    colony = ColonyFactory(yard=yard, tag="A")
    LookFactory(visit=VisitFactory(season=season, yard=yard, on=date(2027, 2, 20)), colony=colony, queen="none")
    tally(season, yard, {"best": 1})

    assert graded(season)["A"].left_out_because == "queenless"


def test_a_tally_speaks_by_the_rules_of_its_day(season, yard):
    ColonyFactory(yard=yard, tag="A")
    tally(season, yard, {"ordinary": 1})
    services.set_grade_rules(
        valid_from=date(2027, 4, 20),
        rules=[services.RuleDraft("fit", Decimal(5)), services.RuleDraft("unfit", Decimal(0))],
        actor=None,
    )

    found = graded(season)["A"]

    assert (found.strength_frames, found.grade) == (Decimal("5.0"), "fit")


def test_a_sample_tells_of_the_rest_of_its_yard(season, yard):
    visit = VisitFactory(season=season, yard=yard, on=date(2027, 4, 3), depth="sample")
    for halves in (8, 10, 10, 12):
        LookFactory(visit=visit, colony=ColonyFactory(yard=yard), below_halves=halves)
    ColonyFactory.create_batch(4, yard=yard)

    found = list(graded(season).values())

    assert [row.basis for row in found] == ["look"] * 4 + ["sample"] * 4
    assert sorted(row.strength_frames for row in found[4:]) == [Decimal(4), Decimal(5), Decimal(5), Decimal(6)]
    assert found[4].basis_words == "by the sample of 3 Apr, not told apart"
    assert found[4].spread > found[0].spread


def test_a_sample_of_three_is_too_small_to_tell(season, yard):
    visit = VisitFactory(season=season, yard=yard, on=date(2027, 4, 3), depth="sample")
    for _ in range(3):
        LookFactory(visit=visit, colony=ColonyFactory(yard=yard))
    ColonyFactory(yard=yard, tag="A")

    assert graded(season)["A"].left_out_because == "not counted this season"


def test_the_later_of_a_sample_and_a_tally_tells(season, yard):
    ColonyFactory(yard=yard, tag="A")
    tally(season, yard, {"slow": 5}, on=date(2027, 4, 3))
    visit = VisitFactory(season=season, yard=yard, on=date(2027, 4, 20), depth="sample")
    for _ in range(4):
        LookFactory(visit=visit, colony=ColonyFactory(yard=yard), below_halves=14)

    assert (graded(season)["A"].basis, graded(season)["A"].strength_frames) == ("sample", Decimal("7.0"))


def test_a_tally_of_one_yard_says_nothing_of_another(season, yard):
    ColonyFactory(yard=YardFactory(), tag="A")
    tally(season, yard, {"best": 1})

    assert graded(season)["A"].basis == ""


def test_one_colony_is_told_the_same_alone_as_in_its_yard(season, yard):
    colonies = ColonyFactory.create_batch(5, yard=yard)
    tally(season, yard, {"best": 2, "slow": 2}, dead=1)

    together = graded(season)

    for colony in colonies:
        assert queries.graded_colony(colony, season.pk, TODAY) == together[colony.tag]


def test_eight_hundred_tallied_colonies_take_the_same_few_questions(season, django_assert_num_queries):
    yards = [YardFactory() for _ in range(25)]
    for yard in yards:
        ColonyFactory.create_batch(32, yard=yard)
        tally(season, yard, {"best": 9, "ordinary": 12, "slow": 7, "behind": 3}, dead=1)

    with django_assert_num_queries(9):
        found = queries.graded_colonies(season.pk, TODAY)

    assert Counter(row.grade for row in found) == {"best": 225, "ordinary": 300, "slow": 175, "behind": 75, "": 25}


def test_a_tallied_yard_was_looked_at(season, yard):
    ColonyFactory.create_batch(2, yard=yard)
    tally(season, yard, {"best": 2}, on=date(2027, 5, 15))

    (row,) = queries.yard_overview(season.pk, TODAY)

    assert (row.looked_on, row.not_counted, row.is_overdue) == (date(2027, 5, 15), 0, False)
    assert row.mean_frames == Decimal("6.5")
