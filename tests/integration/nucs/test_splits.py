"""Split days and batches: frames from donors, numbers, queens with their cost."""

from datetime import date
from decimal import Decimal
from uuid import uuid4

import pytest
from django.db import IntegrityError, transaction

from apiary_ops.books import queries as books
from apiary_ops.core.once import AlreadyDone
from apiary_ops.nucs import queries, services
from apiary_ops.nucs.compute import Frames
from apiary_ops.nucs.models import Batch, Donation, Nuc
from apiary_ops.queens.services import QueensNotThere
from tests.factories.business import SeasonFactory
from tests.factories.nucs import NucKindFactory, SplitDayFactory, made_batch
from tests.factories.people import UserFactory
from tests.factories.queens import QueenOrderFactory, received_lot
from tests.factories.yards import ColonyFactory, HoldFactory, YardFactory

pytestmark = pytest.mark.django_db

MADE_ON = date(2027, 5, 4)


def gives(colony, bees="5", brood="4"):
    return services.DonationDraft(colony.pk, Decimal(bees), Decimal(brood))


def test_a_split_day_is_planned_once_a_yard_and_day():
    season, yard, owner = SeasonFactory(), YardFactory(), UserFactory()

    day = services.plan_split_day(season_id=season.pk, yard_id=yard.pk, on=MADE_ON, actor=owner)

    assert queries.split_days(season.pk).get() == day
    with pytest.raises(services.SplitDayThere, match="Open that one"):
        services.plan_split_day(season_id=season.pk, yard_id=yard.pk, on=MADE_ON, actor=owner)


def test_a_split_day_lies_in_its_season():
    season = SeasonFactory()

    with pytest.raises(services.OutsideSeason, match="outside the season 2027"):
        services.plan_split_day(season_id=season.pk, yard_id=YardFactory().pk, on=date(2028, 5, 4), actor=UserFactory())


def test_a_batch_is_numbered_queened_and_paid_for():
    lot = received_lot(QueenOrderFactory(queens=3, unit_price_cents=33_00), received=3, freight_cents=1_00)

    batch = made_batch(3, lot=lot)

    nucs = list(batch.nucs.order_by("number"))
    assert (batch.made, batch.queen_in_on, batch.lot) == (3, date(2027, 5, 5), lot)
    assert [(nuc.number, nuc.state, nuc.queen_cost_cents) for nuc in nucs] == [
        (1, "queened", 33_34),
        (2, "queened", 33_33),
        (3, "queened", 33_33),
    ]
    assert books.balance("nucs-in-hand", subject=f"batch:{batch.pk}") == 100_00
    lot.refresh_from_db()
    assert lot.banked == 0
    assert batch.split_day.done_on == MADE_ON


def test_numbers_go_on_where_the_season_stands():
    first = made_batch(2)
    second = made_batch(2, split_day=SplitDayFactory(on=date(2027, 5, 6)), made_on=date(2027, 5, 6), queened=False)

    assert list(first.nucs.order_by("number").values_list("number", flat=True)) == [1, 2]
    assert list(second.nucs.order_by("number").values_list("number", flat=True)) == [3, 4]


def test_a_new_season_numbers_from_one():
    made_batch(2, queened=False)
    later = SplitDayFactory(season=SeasonFactory(year=2028), on=date(2028, 5, 4))

    batch = made_batch(1, split_day=later, queened=False)

    assert batch.nucs.get().number == 1


def test_each_new_nuc_has_its_history():
    owner = UserFactory()

    batch = made_batch(1, queened=False, actor=owner)

    assert batch.nucs.get().history.get().history_user == owner


def test_donors_that_gave_too_little_are_named_by_frames_and_nothing_is_made():
    day = SplitDayFactory()
    colony = ColonyFactory(yard=day.yard)

    with pytest.raises(services.DonorsGaveTooLittle) as refusal:
        made_batch(3, split_day=day, queened=False, donations=[gives(colony, "7.5", "4")])

    assert str(refusal.value) == (
        "The donors gave too little for 3 nucs: 2 frames of brood short. Add donors, or make fewer."
    )
    assert not Batch.objects.exists()
    assert not Donation.objects.exists()


def test_frames_left_by_an_earlier_batch_of_the_day_count_for_the_next():
    day = SplitDayFactory()
    made_batch(1, split_day=day, queened=False, donations=[gives(ColonyFactory(yard=day.yard), "5", "4")])
    assert queries.frames_left(day.pk) == Frames(Decimal("2.5"), Decimal(2))

    second = made_batch(1, split_day=day, queened=False, donations=[])

    assert second.made == 1
    assert queries.frames_left(day.pk) == Frames(Decimal(0), Decimal(0))
    with pytest.raises(services.DonorsGaveTooLittle):
        made_batch(1, split_day=day, queened=False, donations=[])


@pytest.mark.parametrize(
    ("trouble", "words"),
    [
        ({"purpose": "honey"}, "Colony C7 is kept for honey. Change what it is kept for, or take nothing from it."),
        (
            {"state": "lost", "ended_on": date(2027, 4, 1)},
            "Colony C7 is lost and cannot give frames. Take it off the list.",
        ),
    ],
)
def test_a_colony_that_may_not_give_is_named_with_the_reason(trouble, words):
    day = SplitDayFactory()
    colony = ColonyFactory(tag="C7", yard=day.yard, **trouble)

    with pytest.raises(services.DonorCannotGive) as refusal:
        made_batch(1, split_day=day, queened=False, donations=[gives(colony)])

    assert str(refusal.value) == words


def test_a_colony_kept_for_something_else_gives_again_once_its_days_are_over():
    day = SplitDayFactory(on=MADE_ON)
    colony = ColonyFactory(tag="C7", yard=day.yard, purpose="pollination", purpose_until=date(2027, 5, 3))

    batch = made_batch(1, split_day=day, queened=False, donations=[gives(colony)])

    assert batch.made == 1


def test_a_colony_on_hold_gives_nothing():
    day = SplitDayFactory()
    colony = ColonyFactory(tag="C7", yard=day.yard)
    HoldFactory(yard=day.yard, colony=colony, reason="brood disease suspected")

    with pytest.raises(services.DonorCannotGive, match="Colony C7 is on hold: brood disease suspected"):
        made_batch(1, split_day=day, queened=False, donations=[gives(colony)])


def test_a_colony_of_another_yard_gives_nothing_here():
    day = SplitDayFactory()

    with pytest.raises(services.DonorCannotGive, match="stands in another yard"):
        made_batch(1, split_day=day, queened=False, donations=[gives(ColonyFactory())])


def test_a_colony_gives_once_a_split_day():
    day = SplitDayFactory()
    colony = ColonyFactory(tag="C7", yard=day.yard)
    made_batch(1, split_day=day, queened=False, donations=[gives(colony, "2.5", "2")])

    with pytest.raises(services.DonorCannotGive, match="Colony C7 already gave on this split day"):
        made_batch(1, split_day=day, queened=False, donations=[gives(colony, "2.5", "2")])


@pytest.mark.parametrize("which", ["yard", "stands_at"])
def test_nothing_moves_out_of_a_yard_on_hold_or_into_it(which):
    day = SplitDayFactory()
    other = YardFactory()
    HoldFactory(yard=day.yard if which == "yard" else other, reason="inspector's order")

    with pytest.raises(services.YardOnHold, match="on hold: inspector's order"):
        made_batch(1, split_day=day, queened=False, stands_at_id=other.pk)


def test_a_hold_that_has_ended_holds_nothing():
    day = SplitDayFactory()
    HoldFactory(yard=day.yard, ended_on=date(2027, 5, 1))

    assert made_batch(1, split_day=day, queened=False).made == 1


def test_queens_that_are_not_there_leave_no_nuc_behind():
    lot = received_lot(received=2)

    with pytest.raises(QueensNotThere):
        made_batch(3, lot=lot)

    assert not Nuc.objects.exists()
    assert not Donation.objects.exists()


def test_a_queen_day_needs_its_lot():
    with pytest.raises(services.WhichLot, match="Say which lot"):
        made_batch(1, queened=False, queen_in_on=date(2027, 5, 5))


@pytest.mark.parametrize("size", [0, 501])
def test_a_batch_has_nucs(size):
    with pytest.raises(services.NoNucsAsked, match="from 1 to 500 nucs"):
        made_batch(size, queened=False, donations=[])


def test_nucs_are_not_made_before_the_split_day():
    with pytest.raises(services.MadeBeforeSplitDay):
        made_batch(1, queened=False, made_on=date(2027, 5, 3))


def test_a_form_sent_twice_makes_one_batch():
    key = uuid4()
    day = SplitDayFactory()
    batch = made_batch(1, split_day=day, queened=False, once_key=key)

    with pytest.raises(AlreadyDone) as again:
        made_batch(1, split_day=day, queened=False, once_key=key)

    assert again.value.result == f"/nucs/batches/{batch.pk}/"
    assert Batch.objects.count() == 1


def test_forecasts_hear_of_every_donation():
    day = SplitDayFactory()
    colony = ColonyFactory(yard=day.yard)
    made_batch(1, split_day=day, queened=False, donations=[gives(colony, "2.5", "2")])

    assert queries.donations(day.season_id) == [queries.DonationRow(colony.pk, MADE_ON, Decimal("2.5"), Decimal("2.0"))]


def test_the_database_keeps_a_batch_as_it_was_made():
    batch = made_batch(1, queened=False)

    with pytest.raises(IntegrityError, match="stays as it was made"), transaction.atomic():
        Batch.objects.filter(pk=batch.pk).update(size=2)
    with pytest.raises(IntegrityError, match="never change"), transaction.atomic():
        Donation.objects.update(bees_frames=1)


def test_the_database_refuses_a_nuc_too_many_and_one_of_another_kind():
    batch = made_batch(1, queened=False)
    same = {"season": batch.season, "batch": batch, "yard": batch.stands_at}

    with pytest.raises(IntegrityError), transaction.atomic():
        Nuc.objects.create(number=99, kind=batch.kind, **same)
    with pytest.raises(IntegrityError, match="of the kind and season of its batch"), transaction.atomic():
        Nuc.objects.create(number=99, kind=NucKindFactory(code="other"), **same)


def test_the_database_keeps_a_nuc_and_its_number():
    nuc = made_batch(1, queened=False).nucs.get()

    with pytest.raises(IntegrityError, match="keeps its number"), transaction.atomic():
        Nuc.objects.filter(pk=nuc.pk).update(number=7)
    with pytest.raises(IntegrityError, match="never deleted"), transaction.atomic():
        Nuc.objects.filter(pk=nuc.pk)._raw_delete("default")
