"""Over random histories no queen, nuc, frame or cent is lost or made up, whatever is recorded or refused."""

from datetime import date, timedelta
from decimal import Decimal

import pytest
from django.db import transaction
from django.db.models import Sum
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from apiary_ops.books import queries as books
from apiary_ops.costs.models import Bill
from apiary_ops.kernel.refusals import RuleBroken
from apiary_ops.nucs import services
from apiary_ops.nucs.models import Batch, Donation, Nuc
from apiary_ops.queens.models import Lot, QueenMove
from apiary_ops.queens.services import record_dead_queens
from tests.factories.nucs import SplitDayFactory, made_batch
from tests.factories.people import UserFactory
from tests.factories.queens import QueenOrderFactory, received_lot

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
pick = st.integers(0, 5)
ACTS = st.one_of(
    st.tuples(st.just("receive"), st.integers(1, 7), st.integers(0, 3)),
    st.tuples(st.just("dead"), pick, st.integers(1, 2)),
    st.tuples(st.just("make"), st.integers(1, 4), pick | st.none()),
    st.tuples(st.just("queen"), pick, pick),
    st.tuples(st.just("check"), pick, st.sampled_from(["", "released", "laying", "missing"])),
    st.tuples(st.just("good"), pick, pick),
    st.tuples(st.just("requeen"), pick, pick),
    st.tuples(st.just("end"), pick, st.sampled_from(["lost", "united", "kept"])),
    st.tuples(st.just("hand over"), pick, pick),
)


class Season:
    """A season played act by act, with a plain count of what it should come to."""

    def __init__(self):
        self.day = date(2027, 5, 3)
        self.actor = UserFactory()
        self.received = self.made = self.given_queens = self.handed_over = self.acts = 0

    def play(self, act, first, second):
        self.acts += 1
        self.day += timedelta(days=3)
        # What a rule refuses leaves nothing half-done: the totals below are held against every act.
        with transaction.atomic():
            try:
                getattr(self, act.replace(" ", "_"))(first, second)
            except RuleBroken:
                transaction.set_rollback(True)

    def receive(self, received, dead):
        order = QueenOrderFactory(queens=received, unit_price_cents=3337)
        received_lot(
            order,
            received=received,
            dead_on_arrival=min(dead, received),
            freight_cents=1001,
            received_on=self.day,
            due_on=self.day,
            actor=self.actor,
        )
        self.received += received

    def dead(self, lot, queens):
        record_dead_queens(lot_id=self._lot(lot), queens=queens, on=self.day, actor=self.actor)

    def make(self, size, lot):
        day = SplitDayFactory(on=self.day)
        lot_row = None if lot is None else Lot.objects.get(pk=self._lot(lot))
        made_batch(
            size,
            split_day=day,
            queened=False,
            lot=lot_row,
            queen_in_on=self.day if lot_row else None,
            actor=self.actor,
        )
        self.made += size
        self.given_queens += size if lot_row else 0

    def queen(self, batch, lot):
        chosen = self._nth(Batch.objects, batch)
        waiting = chosen.nucs.filter(state="made").count()
        services.introduce_queens(batch_id=chosen.pk, lot_id=self._lot(lot), queen_in_on=self.day, actor=self.actor)
        self.given_queens += waiting

    def check(self, nuc, queen):
        services.record_check(
            nuc_id=self._nth(Nuc.objects, nuc).pk, on=self.day, actor=self.actor, queen=queen, note="seen"
        )

    def good(self, nuc, _nothing):
        services.record_check(nuc_id=self._nth(Nuc.objects, nuc).pk, on=self.day, actor=self.actor, **GOOD)

    def requeen(self, nuc, lot):
        services.requeen(nuc_id=self._nth(Nuc.objects, nuc).pk, lot_id=self._lot(lot), on=self.day, actor=self.actor)
        self.given_queens += 1

    def end(self, nuc, state):
        services.end_nuc(
            nuc_id=self._nth(Nuc.objects, nuc).pk, state=state, on=self.day, cause="robbed out", actor=self.actor
        )

    def hand_over(self, first, second):
        nucs = {self._nth(Nuc.objects, first).pk, self._nth(Nuc.objects, second).pk}
        services.hand_over_nucs(nuc_ids=nucs, on=self.day, source=f"hand-over:{self.acts}", actor=self.actor)
        self.handed_over += len(nucs)

    def _lot(self, place):
        return self._nth(Lot.objects, place).pk

    def _nth(self, manager, place):
        rows = list(manager.order_by("pk"))
        if not rows:
            raise RuleBroken("There is none yet.")
        return rows[place % len(rows)]

    def hold_against_the_books(self):
        self._queens()
        self._nucs()
        self._frames()
        self._cents()

    def _queens(self):
        lots = list(Lot.objects.all())
        moved = QueenMove.objects.values_list("kind").annotate(Sum("queens"))
        by_kind = {"introduced": 0, "dead": 0, **dict(moved.order_by())}
        assert sum(lot.received for lot in lots) == self.received
        assert by_kind["introduced"] == self.given_queens
        assert self.received == sum(lot.dead_on_arrival + lot.banked for lot in lots) + sum(by_kind.values())
        assert all(lot.banked >= 0 for lot in lots)

    def _nucs(self):
        states = list(Nuc.objects.values_list("state", flat=True))
        assert len(states) == self.made == sum(Batch.objects.values_list("made", flat=True))
        assert states.count("handed over") == self.handed_over

    def _frames(self):
        gave = Donation.objects.aggregate(bees=Sum("bees_frames"), brood=Sum("brood_frames"))
        assert (gave["bees"] or 0) == self.made * Decimal("2.5")
        assert (gave["brood"] or 0) == self.made * 2

    def _cents(self):
        balances = books.balances()
        live = Nuc.objects.filter(state__in=Nuc.LIVE_STATES).aggregate(cents=Sum("queen_cost_cents"))["cents"] or 0
        all_queened = Nuc.objects.aggregate(cents=Sum("queen_cost_cents"))["cents"] or 0
        introduced = QueenMove.objects.filter(kind="introduced").aggregate(cents=Sum("cost_cents"))["cents"] or 0
        landed = Lot.objects.aggregate(cents=Sum("landed_cents"))["cents"] or 0
        moved = QueenMove.objects.aggregate(cents=Sum("cost_cents"))["cents"] or 0
        assert balances.get("nucs-in-hand", 0) == live
        assert all_queened == introduced
        assert balances.get("queens-on-hand", 0) == landed - moved
        for lot in Lot.objects.exclude(landed_cents=0):
            each, dearer = divmod(lot.landed_cents, lot.alive_on_arrival)
            carried = lot.moves.aggregate(cents=Sum("cost_cents"))["cents"] or 0
            assert carried == each * lot.gone + min(lot.gone, dearer)
        places = ("queens-on-hand", "nucs-in-hand", "queen-losses", "nuc-losses", "nucs-kept", "cost-of-nucs")
        billed = Bill.objects.aggregate(cents=Sum("total_cents"))["cents"] or 0
        assert sum(balances.get(place, 0) for place in places) == billed
        assert sum(balances.values()) == 0


@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(st.lists(ACTS, min_size=4, max_size=16))
def test_queens_nucs_frames_and_cents_are_conserved_after_every_act(acts):
    with transaction.atomic():
        season = Season()
        season.play("receive", 6, 0)
        season.play("make", 3, 0)
        for act, first, second in acts:
            season.play(act, first, second)

            season.hold_against_the_books()
        transaction.set_rollback(True)
