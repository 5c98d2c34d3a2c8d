"""Two people making, queening, checking and handing over the same nucs: a holder and a waiter each."""

from datetime import date
from decimal import Decimal

import pytest

from apiary_ops.books import queries as books
from apiary_ops.nucs import services
from apiary_ops.nucs.models import Batch, Donation, Nuc
from apiary_ops.queens.services import QueensNotThere
from tests.factories.nucs import NucKindFactory, SplitDayFactory, made_batch
from tests.factories.people import UserFactory
from tests.factories.queens import received_lot
from tests.factories.yards import ColonyFactory
from tests.postgres.racing import race

pytestmark = [pytest.mark.postgres, pytest.mark.django_db(transaction=True)]

GOOD = {
    "queen": "laying",
    "covered_halves": 8,
    "brood_halves": 6,
    "own_sealed_brood": True,
    "food_halves": 2,
    "queen_cells": False,
    "disease_clear": True,
}


@pytest.fixture
def owner():
    return UserFactory()


def make(day, kind, donations, owner, size=2):
    return services.make_batch(
        split_day_id=day.pk,
        kind_id=kind.pk,
        stands_at_id=day.yard_id,
        lot_id=None,
        size=size,
        made_on=day.on,
        queen_in_on=None,
        donations=donations,
        actor=owner,
    )


def test_batches_made_at_once_number_their_nucs_apart(owner):
    kind = NucKindFactory()
    days = [SplitDayFactory(), SplitDayFactory()]
    gave = [[services.DonationDraft(ColonyFactory(yard=day.yard).pk, Decimal(5), Decimal(4))] for day in days]

    race(lambda: make(days[0], kind, gave[0], owner), lambda: make(days[1], kind, gave[1], owner))

    assert list(Nuc.objects.order_by("number").values_list("number", flat=True)) == [1, 2, 3, 4]


def test_two_who_write_up_the_same_donor_take_its_frames_once(owner):
    kind, day = NucKindFactory(), SplitDayFactory()
    gave = [services.DonationDraft(ColonyFactory(tag="C7", yard=day.yard).pk, Decimal(5), Decimal(4))]

    first, second = race(lambda: make(day, kind, gave, owner), lambda: make(day, kind, gave, owner))

    assert first.made == 2
    assert isinstance(second, services.DonorCannotGive)
    assert Donation.objects.count() == 1


def test_frames_left_over_are_used_once(owner):
    kind, day = NucKindFactory(), SplitDayFactory()
    gave = [services.DonationDraft(ColonyFactory(yard=day.yard).pk, Decimal("7.5"), Decimal(6))]
    make(day, kind, gave, owner, size=2)

    first, second = race(lambda: make(day, kind, [], owner, size=1), lambda: make(day, kind, [], owner, size=1))

    assert isinstance(first, Batch)
    assert isinstance(second, services.DonorsGaveTooLittle)


def test_a_batch_gets_its_queens_from_one_lot(owner):
    batch = made_batch(2, queened=False)
    lots = [received_lot(received=2), received_lot(received=2)]

    def put_in(lot):
        return services.introduce_queens(batch_id=batch.pk, lot_id=lot.pk, queen_in_on=date(2027, 5, 6), actor=owner)

    _first, second = race(lambda: put_in(lots[0]), lambda: put_in(lots[1]))

    assert isinstance(second, services.QueensAlreadyIn)
    assert books.balance("nucs-in-hand") == 96_00


def test_the_last_spare_queen_goes_into_one_nuc(owner):
    nucs = list(made_batch(2).nucs.order_by("number"))
    drafts = [services.CheckDraft(nuc.pk, queen="missing") for nuc in nucs]
    services.record_checks(on=date(2027, 5, 15), drafts=drafts, actor=owner)
    spare = received_lot(received=1)

    def requeen(nuc):
        return services.requeen(nuc_id=nuc.pk, lot_id=spare.pk, on=date(2027, 5, 16), actor=owner)

    first, second = race(lambda: requeen(nucs[0]), lambda: requeen(nucs[1]))

    assert first.state == "queened"
    assert isinstance(second, QueensNotThere)
    nucs[1].refresh_from_db()
    assert (nucs[1].state, nucs[1].queen_cost_cents) == ("failed", 48_00)


def test_a_nuc_lost_while_it_is_handed_over_leaves_once(owner):
    nuc = made_batch(1).nucs.get()
    services.record_check(nuc_id=nuc.pk, on=date(2027, 6, 1), actor=owner, **GOOD)

    cents, second = race(
        lambda: services.hand_over_nucs(nuc_ids=[nuc.pk], on=date(2027, 6, 5), source="hand-over:1", actor=owner),
        lambda: services.end_nuc(nuc_id=nuc.pk, state="lost", on=date(2027, 6, 5), cause="robbed out", actor=owner),
    )

    assert cents == 48_00
    assert isinstance(second, services.NucHasLeft)
    assert books.balance("nucs-in-hand") == 0
    assert books.balance("nuc-losses") == 0


def test_two_checks_of_one_nuc_at_once_both_stand_and_agree_on_its_state(owner):
    nuc = made_batch(1).nucs.get()

    race(
        lambda: services.record_check(nuc_id=nuc.pk, on=date(2027, 6, 1), actor=owner, **GOOD),
        lambda: services.record_check(nuc_id=nuc.pk, on=date(2027, 6, 2), actor=owner, queen_cells=True),
    )

    nuc.refresh_from_db()
    assert nuc.checks.count() == 2
    assert (nuc.state, nuc.ready_on) == ("laying", None)
