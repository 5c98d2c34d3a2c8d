"""Every colony graded from its latest looks, all yards at a glance, and who would change under other rules."""

from datetime import date
from decimal import Decimal

import pytest

from apiary_ops.yards import compute, queries, services
from tests.factories.business import SeasonFactory
from tests.factories.yards import (
    ColonyFactory,
    FactorFactory,
    HoldFactory,
    LookFactory,
    TaskFactory,
    VisitFactory,
    YardFactory,
)

pytestmark = pytest.mark.django_db


@pytest.fixture
def season():
    services.install_reference_rules()
    return SeasonFactory(year=2027)


def visit(yard, day=3, month=4, temperature="6.0", **more):
    return VisitFactory(yard=yard, on=date(2027, month, day), temperature_c=Decimal(temperature), **more)


def only(season, today):
    (colony,) = queries.graded_colonies(season.pk, today)
    return colony


def test_a_colony_is_graded_by_its_latest_look(season, yard, today):
    colony = ColonyFactory(yard=yard, tag="C0001", position=4)
    LookFactory(visit=visit(yard, 20, month=3), colony=colony, below_halves=6)
    look = LookFactory(visit=visit(yard, 3), colony=colony, below_halves=12, sealed_halves=5)

    found = only(season, today)

    assert found == queries.GradedColony(
        colony_id=colony.pk,
        tag="C0001",
        yard_id=yard.pk,
        yard_code="mill-lane",
        position=4,
        boxes=2,
        strength_frames=Decimal("6.0"),
        spread=Decimal("0.5"),
        sealed_frames=Decimal("2.5"),
        looked_on=date(2027, 4, 3),
        grade="best",
        rule="rule 1 of 1 Jan 2020: best from 5.5 frames",
        gives_nucs=True,
        left_out_because="",
        look_id=look.pk,
        queen="",
        basis="look",
    )


def test_a_warm_count_is_graded_on_the_footing(season, yard, today):
    LookFactory(visit=visit(yard, temperature="16.0"), colony=ColonyFactory(yard=yard), below_halves=12)

    assert (only(season, today).strength_frames, only(season, today).grade) == (Decimal("4.8"), "ordinary")


def test_a_look_to_come_and_one_of_another_season_do_not_count(season, yard, today):
    colony = ColonyFactory(yard=yard)
    LookFactory(visit=visit(yard, 13), colony=colony)
    LookFactory(visit=visit(yard, 1, season=SeasonFactory(year=2026)), colony=colony)

    found = only(season, today)

    assert (found.strength_frames, found.looked_on, found.gives_nucs) == (None, None, False)
    assert found.left_out_because == "not counted this season"


def test_a_look_without_a_count_leaves_the_strength_standing(season, yard, today):
    colony = ColonyFactory(yard=yard)
    LookFactory(visit=visit(yard, 3), colony=colony, below_halves=12)
    LookFactory(visit=visit(yard, 10), colony=colony, below_halves=None, patty="gone")

    assert only(season, today).looked_on == date(2027, 4, 3)


def test_a_queen_seen_again_puts_a_colony_back(season, yard, today):
    colony = ColonyFactory(yard=yard)
    LookFactory(visit=visit(yard, 3), colony=colony, queen="none")
    assert only(season, today).left_out_because == "queenless"

    LookFactory(visit=visit(yard, 8), colony=colony, queen="")
    assert only(season, today).left_out_because == "queenless"

    LookFactory(visit=visit(yard, 10), colony=colony, queen="seen")
    assert (only(season, today).gives_nucs, only(season, today).queen) == (True, "seen")


def test_sealed_brood_older_than_the_count_is_out_of_date(season, yard, today):
    colony = ColonyFactory(yard=yard)
    LookFactory(visit=visit(yard, 3), colony=colony, below_halves=10, sealed_halves=4)
    assert only(season, today).sealed_frames == Decimal(2)

    LookFactory(visit=visit(yard, 8), colony=colony, below_halves=12)
    assert only(season, today).sealed_frames is None

    LookFactory(visit=visit(yard, 10), colony=colony, below_halves=None, sealed_halves=6)
    assert only(season, today).sealed_frames == Decimal(3)


@pytest.mark.parametrize(
    ("purpose", "words"),
    [
        ("honey", "kept for honey"),
        ("pollination", "kept for a pollination contract"),
        ("breeder", "kept for breeding queens"),
        ("drones", "kept for drones"),
        ("reserve", "kept for reserve"),
    ],
)
def test_a_colony_kept_for_something_else_is_left_out(purpose, words, season, yard, today):
    LookFactory(visit=visit(yard), colony=ColonyFactory(yard=yard, purpose=purpose))

    found = only(season, today)

    assert (found.left_out_because, found.grade, found.gives_nucs) == (words, "", False)
    assert found.strength_frames == Decimal("6.0")


def test_a_hold_takes_a_yard_or_one_colony_out_from_its_day(season, yard, today):
    there = visit(yard)
    held, free = ColonyFactory(yard=yard, tag="A"), ColonyFactory(yard=yard, tag="B")
    for colony in (held, free):
        LookFactory(visit=there, colony=colony)
    HoldFactory(yard=yard, colony=held, reason="odd brood", starts_on=date(2027, 4, 5))

    def left_out(day):
        return {row.tag: row.left_out_because for row in queries.graded_colonies(season.pk, date(2027, 4, day))}

    assert left_out(4) == {"A": "", "B": ""}
    assert left_out(5) == {"A": "on hold: odd brood", "B": ""}
    HoldFactory(yard=yard, reason="sprayed", starts_on=date(2027, 4, 6), ended_on=date(2027, 4, 8))
    assert left_out(6) == {"A": "on hold: sprayed", "B": "on hold: sprayed"}
    assert left_out(8) == {"A": "on hold: odd brood", "B": ""}


def test_only_colonies_alive_that_day_are_graded(season, yard, today):
    ColonyFactory(yard=yard, tag="LATER", started_on=date(2027, 4, 13))
    ColonyFactory(yard=yard, tag="GONE", state="lost", ended_on=date(2027, 4, 12))
    ColonyFactory(yard=yard, tag="HERE")

    assert [row.tag for row in queries.graded_colonies(season.pk, today)] == ["HERE"]
    assert [row.tag for row in queries.graded_colonies(season.pk, date(2027, 4, 11))] == ["GONE", "HERE"]


def test_colonies_come_in_walking_order_yard_by_yard(season, today):
    field, mill = YardFactory(code="field"), YardFactory(code="mill")
    for yard, position, tag in [(mill, 1, "M1"), (field, 2, "F2"), (field, 1, "F1")]:
        ColonyFactory(yard=yard, position=position, tag=tag)

    assert [row.tag for row in queries.graded_colonies(season.pk, today)] == ["F1", "F2", "M1"]
    assert [row.tag for row in queries.graded_colonies(season.pk, today, yard_id=mill.pk)] == ["M1"]


def test_later_rules_and_factors_count_from_their_day(season, yard, today):
    LookFactory(visit=visit(yard, temperature="16.0"), colony=ColonyFactory(yard=yard), below_halves=12)
    FactorFactory(view="below", warmer_than_c=Decimal(15), factor=Decimal("0.900"), valid_from=date(2027, 4, 12))
    services.set_grade_rules(valid_from=date(2027, 4, 12), rules=[services.RuleDraft("any", Decimal(0))], actor=None)

    before, after = only(season, date(2027, 4, 11)), only(season, today)

    assert (before.strength_frames, before.grade) == (Decimal("4.8"), "ordinary")
    assert (after.strength_frames, after.grade) == (Decimal("5.4"), "any")


def test_one_colony_is_graded_alone(season, yard, today):
    one = ColonyFactory(yard=yard, tag="A")
    ColonyFactory(yard=yard, tag="B")

    assert queries.graded_colony(one, season.pk, today).tag == "A"
    assert queries.graded_colony(one, season.pk, date(2026, 1, 1)) is None


def test_grading_asks_the_database_the_same_few_questions_however_many_colonies(
    season, yard, today, django_assert_num_queries
):
    there = visit(yard)
    for colony in ColonyFactory.create_batch(30, yard=yard):
        LookFactory(visit=there, colony=colony)

    with django_assert_num_queries(7):
        rows = queries.graded_colonies(season.pk, today)

    assert len(rows) == 30


# --- Who would change.


def test_a_preview_names_who_changes_and_how(season, yard, today):
    there = visit(yard)
    for tag, halves in [("A", 12), ("B", 9), ("C", 4)]:
        LookFactory(visit=there, colony=ColonyFactory(yard=yard, tag=tag), below_halves=halves)
    ColonyFactory(yard=yard, tag="D")
    stricter = [
        compute.Rule(today, 1, "best", Decimal("6.5")),
        compute.Rule(today, 2, "ordinary", Decimal("4.5")),
        compute.Rule(today, 3, "behind", Decimal(0), None, False),
    ]

    changes = queries.grade_changes(season.pk, today, stricter)

    assert [(row.tag, row.yard_code, row.before, row.after) for row in changes] == [
        ("A", "mill-lane", "best", "ordinary")
    ]


# --- Yards at a glance.


def test_a_yard_at_a_glance(season, yard, today):
    there = visit(yard, 3)
    for tag, halves in [("A", 12), ("B", 10), ("C", 10), ("D", 4)]:
        LookFactory(visit=there, colony=ColonyFactory(yard=yard, tag=tag), below_halves=halves)
    ColonyFactory(yard=yard, tag="E")
    TaskFactory(yard=yard, due_on=date(2027, 4, 11))
    TaskFactory(yard=yard, due_on=date(2027, 4, 12))
    YardFactory(is_active=False)

    (row,) = queries.yard_overview(season.pk, today)

    assert (row.yard, row.colonies, row.not_counted) == (yard, 5, 1)
    assert row.graded == {"best": 1, "ordinary": 2, "behind": 1}
    assert (row.gives_nucs, row.left_out) == (3, 2)
    assert row.mean_frames == Decimal("4.5")
    assert (row.looked_on, row.days_since_look) == (date(2027, 4, 3), 9)
    assert (row.open_tasks, row.overdue_tasks) == (2, 1)
    assert (row.hold, row.words, row.tone) == ("", "", "quiet")


def test_what_wants_attention_is_said_gravest_first(season, today):
    strong, weak = YardFactory(code="a"), YardFactory(code="b")
    for yard, day, counts in [(strong, 10, [13, 13, 13, 13]), (weak, 1, [2, 2, 10, 10])]:
        there = visit(yard, day, month=4 if day == 10 else 3)
        for halves in counts:
            LookFactory(visit=there, colony=ColonyFactory(yard=yard), below_halves=halves)
    HoldFactory(yard=weak, reason="disease suspected")

    first, second = queries.yard_overview(season.pk, today)

    assert (first.words, first.tone) == ("", "quiet")
    assert (second.words, second.tone) == ("on hold, not looked at, weak, uneven", "broken")
    assert second.hold == "disease suspected"


def test_an_empty_yard_wants_nothing(season, yard, today):
    (row,) = queries.yard_overview(season.pk, today)

    assert (row.colonies, row.mean_frames, row.days_since_look, row.words) == (0, None, None, "")


# --- The walk.


def test_a_walk_passes_those_standing_there_that_day_and_those_looked_at(season, yard, today):
    there = visit(yard, 3)
    ColonyFactory(yard=yard, position=2, tag="B")
    ended = ColonyFactory(yard=yard, position=1, tag="A", state="lost", ended_on=date(2027, 4, 3))
    ColonyFactory(yard=yard, position=3, tag="C", started_on=date(2027, 4, 4))
    LookFactory(visit=there, colony=ended, below_halves=3)

    stops = queries.walk(there, today)

    assert [(stop.colony.tag, stop.strength.frames if stop.strength else None) for stop in stops] == [
        ("A", Decimal("1.5")),
        ("B", None),
    ]
