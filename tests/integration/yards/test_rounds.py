"""Rounds of looks, what changed between two of them, and a yard over the season."""

from datetime import date
from decimal import Decimal

import pytest

from apiary_ops.yards import queries, services
from tests.factories.business import SeasonFactory
from tests.factories.yards import ColonyFactory, FactorFactory, LookFactory, TallyFactory, VisitFactory, YardFactory

pytestmark = pytest.mark.django_db

MARCH, APRIL = date(2027, 3, 27), date(2027, 4, 12)


@pytest.fixture
def season():
    services.install_reference_rules()
    return SeasonFactory(year=2027)


@pytest.fixture
def yard():
    return YardFactory(code="river", name="River yard")


def visit(season, yard, on, **more):
    return VisitFactory(season=season, yard=yard, on=on, **more)


def look(there, colony, halves):
    return LookFactory(visit=there, colony=colony, below_halves=halves)


def two_rounds(season, yard, *halves):
    """Colonies C1, C2, ... of a yard counted in late March and in mid April."""
    first, second = visit(season, yard, MARCH), visit(season, yard, APRIL)
    for number, (then, now) in enumerate(halves, start=1):
        colony = ColonyFactory(yard=yard, tag=f"{yard.code}-{number}".upper(), position=number)
        look(first, colony, then)
        look(second, colony, now)


def compared(season, today=APRIL):
    seen = queries.sights(season.pk, today)
    now, then = queries.look_rounds(seen)[:2]
    return queries.compare_rounds(seen, then, now, today)


def test_a_week_through_the_yards_is_one_round(season, yard):
    other = YardFactory()
    look(visit(season, yard, date(2027, 3, 24)), ColonyFactory(yard=yard), 10)
    look(visit(season, other, date(2027, 3, 29)), ColonyFactory(yard=other), 10)
    look(visit(season, yard, date(2027, 4, 4)), ColonyFactory(yard=yard), 10)

    rounds = queries.look_rounds(queries.sights(season.pk, APRIL))

    assert [(one.first_on, one.last_on, one.colonies) for one in rounds] == [
        (date(2027, 4, 4), date(2027, 4, 4), 1),
        (date(2027, 3, 24), date(2027, 3, 29), 2),
    ]
    assert rounds[1].words == "Wed 24 Mar 2027 – Mon 29 Mar 2027"


def test_the_colony_that_fell_most_comes_first(season, yard):
    two_rounds(season, yard, (10, 14), (12, 8), (10, 14), (10, 10))

    found = compared(season).colonies

    assert [(row.tag, row.by, row.words) for row in found] == [
        ("RIVER-2", Decimal("-2.0"), "fell"),
        ("RIVER-4", Decimal("0.0"), "fell behind"),
        ("RIVER-1", Decimal("2.0"), "gained"),
        ("RIVER-3", Decimal("2.0"), "gained"),
    ]


def test_a_yard_is_told_by_the_colonies_counted_in_both(season, yard):
    two_rounds(season, yard, (10, 14), (12, 8))
    look(visit(season, yard, APRIL), ColonyFactory(yard=yard), 20)

    (row,) = compared(season).yards

    assert (row.colonies, row.then, row.now, row.by) == (2, Decimal("5.5"), Decimal("5.5"), Decimal("0.0"))
    assert (row.fell, row.fell_behind) == (1, 0)


def test_the_yard_that_fell_most_comes_first_with_what_is_wrong(season, yard):
    two_rounds(season, yard, *[(10, 14)] * 4)
    two_rounds(season, YardFactory(code="hill"), (10, 14), (10, 14), (10, 4), (10, 4))

    first, second = compared(season).yards

    assert (first.yard.code, first.words, first.tone) == ("hill", "weak, uneven", "mind")
    assert (second.yard.code, second.words) == ("river", "")


def test_both_rounds_are_brought_to_the_footing_by_the_same_factors(season, yard):
    colony = ColonyFactory(yard=yard)
    look(visit(season, yard, MARCH, temperature_c=Decimal(16)), colony, 12)
    look(visit(season, yard, APRIL, temperature_c=Decimal(16)), colony, 12)
    FactorFactory(warmer_than_c=Decimal("15.0"), factor=Decimal("0.5"), valid_from=date(2027, 4, 1))

    (row,) = compared(season).colonies

    assert (row.then, row.now) == (Decimal("3.0"), Decimal("3.0"))


def test_a_colony_that_ended_is_left_out(season, yard):
    two_rounds(season, yard, (10, 12))
    yard.colonies.update(state="lost", ended_on=APRIL)

    assert compared(season).colonies == ()


def test_a_yard_over_the_season_by_looks_and_tallies(season, yard):
    two_rounds(season, yard, (10, 12), (12, 14), (8, 10), (10, 12))
    TallyFactory(visit=visit(season, yard, date(2027, 5, 2), depth="tally"), counts={"best": 2, "slow": 2}, dead=1)

    march, april, may = queries.strength_over_time(yard, season.pk, date(2027, 5, 3))

    assert (march.on, march.basis, march.colonies, march.mean) == (MARCH, "look", 4, Decimal("5.0"))
    assert (march.low, march.high) == (Decimal("4.5"), Decimal("5.5"))
    assert april.mean == Decimal("6.0")
    assert (may.basis, may.colonies, may.mean) == ("tally", 4, Decimal("5.3"))


def test_three_looks_say_nothing_of_a_yard(season, yard):
    two_rounds(season, yard, *[(10, 12)] * 3)

    assert queries.strength_over_time(yard, season.pk, APRIL) == []
