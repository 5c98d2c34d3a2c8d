"""Two colonies of one yard change places."""

from datetime import date

import pytest

from apiary_ops.core.history import history_rows
from apiary_ops.yards import services
from tests.factories.yards import ColonyFactory, HoldFactory, TaskFactory, TreatmentFactory, YardFactory

pytestmark = pytest.mark.django_db


def test_two_colonies_change_places_and_remember_only_that(yard, ada):
    strong, weak = ColonyFactory(yard=yard, position=3), ColonyFactory(yard=yard, position=8)

    services.swap_positions(first_id=strong.pk, second_id=weak.pk, actor=ada)

    for colony in (strong, weak):
        colony.refresh_from_db()
    assert (strong.position, weak.position) == (8, 3)
    assert (strong.version, weak.version) == (2, 2)
    (change,) = history_rows(strong)[0].changes
    assert (change.label, change.before, change.after) == ("position", "3", "8")


def test_positions_change_in_a_yard_on_hold(yard, ada):
    first, second = ColonyFactory(yard=yard, position=1), ColonyFactory(yard=yard, position=2)
    HoldFactory(yard=yard)

    services.swap_positions(first_id=first.pk, second_id=second.pk, actor=ada)

    first.refresh_from_db()
    assert first.position == 2


def test_colonies_of_two_yards_do_not_change_places(yard, ada):
    here = ColonyFactory(yard=yard, tag="C0001")
    there = ColonyFactory(yard=YardFactory(name="Far Field"), tag="C0002")

    with pytest.raises(services.TwoYards) as refusal:
        services.swap_positions(first_id=here.pk, second_id=there.pk, actor=ada)

    assert str(refusal.value) == (
        "C0001 stands in Mill Lane and C0002 in Far Field. Positions change within one yard; move them."
    )


def test_neither_one_colony_nor_an_ended_one_changes_places(yard, ada):
    colony = ColonyFactory(yard=yard)
    dead = ColonyFactory(yard=yard, tag="D1", state="lost", ended_on=date(2027, 4, 1))

    with pytest.raises(services.SameColony, match="cannot change places with itself"):
        services.swap_positions(first_id=colony.pk, second_id=colony.pk, actor=ada)
    with pytest.raises(services.AlreadyEnded, match="D1 ended on Thu 1 Apr 2027"):
        services.swap_positions(first_id=colony.pk, second_id=dead.pk, actor=ada)


def test_what_is_to_be_done_at_a_colony_moves_with_it(yard, ada):
    colony, stays = ColonyFactory(yard=yard), ColonyFactory(yard=yard)
    own, yards = TaskFactory(yard=yard, colony=colony), TaskFactory(yard=yard)
    strips, others = TreatmentFactory(yard=yard, colony=colony), TreatmentFactory(yard=yard, colony=stays)
    there = YardFactory()

    services.move_colony(colony_id=colony.pk, yard_id=there.pk, position=None, actor=ada)

    for row in (own, yards, strips, others):
        row.refresh_from_db()
    assert (own.yard, strips.yard) == (there, there)
    assert (yards.yard, others.yard) == (yard, yard)
    assert history_rows(strips)[0].who == "Ada Fell"
