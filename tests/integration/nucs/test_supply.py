"""What nucs can supply: those ready with their days, the others as expected."""

from datetime import date

import pytest

from apiary_ops.nucs import queries, services
from tests.factories.nucs import NucKindFactory, SplitDayFactory, made_batch
from tests.factories.people import UserFactory
from tests.factories.queens import received_lot
from tests.factories.yards import HoldFactory

pytestmark = pytest.mark.django_db

GOOD = {
    "queen": "laying",
    "covered_halves": 8,
    "brood_halves": 6,
    "own_sealed_brood": True,
    "food_halves": 2,
    "queen_cells": False,
    "disease_clear": True,
}
TODAY = date(2027, 6, 1)


@pytest.fixture
def owner():
    return UserFactory()


def supply(batch, today=TODAY):
    return [
        (row.key.removeprefix(f"batch:{batch.pk}"), row.ready_on, row.collect_by, row.count)
        for row in queries.supply_rows(batch.season_id, today)
    ]


def check(nucs, owner, on=TODAY, **seen):
    drafts = [services.CheckDraft(nuc.pk, **{**GOOD, **seen}) for nuc in nucs]
    services.record_checks(on=on, drafts=drafts, actor=owner)


def test_a_new_batch_supplies_the_share_that_lays_four_weeks_on():
    batch = made_batch(10)

    assert supply(batch, today=date(2027, 5, 6)) == [("", date(2027, 6, 1), date(2027, 6, 11), 8)]


def test_ready_nucs_are_supplied_whole_with_their_own_days(owner):
    batch = made_batch(6)
    check(batch.nucs.order_by("number")[:4], owner, on=date(2027, 5, 29))

    assert supply(batch) == [
        ("", date(2027, 5, 29), date(2027, 6, 8), 4),
        ("/2", date(2027, 6, 1), date(2027, 6, 11), 1),
    ]


def test_nucs_late_for_their_day_are_expected_at_the_next_round_of_checks():
    batch = made_batch(10)

    assert supply(batch, today=date(2027, 6, 3)) == [("", date(2027, 6, 10), date(2027, 6, 20), 8)]


def test_a_nuc_that_waits_for_its_queen_counts_from_today():
    batch = made_batch(10, queened=False)

    assert supply(batch, today=date(2027, 5, 8)) == [("", date(2027, 6, 5), date(2027, 6, 15), 8)]


def test_a_failed_nuc_supplies_nothing_until_it_is_requeened(owner):
    batch = made_batch(2, kind=NucKindFactory(queen_laying_rate=1))
    failed = batch.nucs.order_by("number").first()
    services.record_check(nuc_id=failed.pk, on=date(2027, 5, 15), actor=owner, queen="missing")
    assert supply(batch, today=date(2027, 5, 16)) == [("", date(2027, 6, 1), date(2027, 6, 11), 1)]

    services.requeen(nuc_id=failed.pk, lot_id=received_lot(received=1).pk, on=date(2027, 5, 16), actor=owner)

    assert supply(batch, today=date(2027, 5, 16)) == [
        ("", date(2027, 6, 1), date(2027, 6, 11), 1),
        ("/2", date(2027, 6, 13), date(2027, 6, 23), 1),
    ]


def test_held_nucs_and_held_yards_supply_nothing(owner):
    batch = made_batch(3)
    check(batch.nucs.all(), owner)
    services.hold_nuc(nuc_id=batch.nucs.first().pk, reason="spotty brood", actor=owner)
    assert [row[3] for row in supply(batch)] == [2]

    HoldFactory(yard=batch.stands_at)

    assert supply(batch) == []


def test_nucs_that_left_supply_nothing(owner):
    batch = made_batch(2)
    check(batch.nucs.all(), owner)
    services.hand_over_nucs(nuc_ids=[batch.nucs.first().pk], on=TODAY, source="hand-over:1", actor=owner)

    assert [row[3] for row in supply(batch)] == [1]


def test_ready_nucs_are_listed_by_kind_and_yard(owner):
    here = made_batch(1)
    there = made_batch(1, split_day=SplitDayFactory(), kind=NucKindFactory(code="spring-4", name="4-frame"))
    check([here.nucs.get(), there.nucs.get()], owner)

    assert queries.ready_nucs(here.season_id).count() == 2
    assert queries.ready_nucs(here.season_id, kind_id=there.kind_id).get() == there.nucs.get()
    assert queries.ready_nucs(here.season_id, yard_id=here.stands_at_id, on=TODAY).get() == here.nucs.get()
    assert not queries.ready_nucs(here.season_id, on=date(2027, 5, 31)).exists()
