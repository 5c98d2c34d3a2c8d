"""Where nucs go, and their cost with them."""

from datetime import date

import pytest
from django.db import IntegrityError, transaction

from apiary_ops.books import queries as books
from apiary_ops.books.services import AlreadyPosted
from apiary_ops.nucs import queries, services
from apiary_ops.nucs.models import Nuc
from tests.factories.nucs import made_batch
from tests.factories.people import UserFactory
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
READY_ON = date(2027, 6, 1)
GATE = date(2027, 6, 5)


@pytest.fixture
def owner():
    return UserFactory()


def ready_batch(size, owner):
    batch = made_batch(size)
    drafts = [services.CheckDraft(nuc.pk, **GOOD) for nuc in batch.nucs.all()]
    services.record_checks(on=READY_ON, drafts=drafts, actor=owner)
    return batch


def give(nucs, owner, source="hand-over:1"):
    return services.hand_over_nucs(nuc_ids=[nuc.pk for nuc in nucs], on=GATE, source=source, actor=owner)


@pytest.mark.parametrize(
    ("state", "account"), [("lost", "nuc-losses"), ("united", "nuc-losses"), ("kept", "nucs-kept")]
)
def test_the_cost_of_a_nuc_goes_where_the_nuc_went(owner, state, account):
    nuc = made_batch(2).nucs.order_by("number").first()

    ended = services.end_nuc(nuc_id=nuc.pk, state=state, on=date(2027, 5, 20), cause="robbed out", actor=owner)

    assert (ended.state, ended.ended_on, ended.loss_cause) == (state, date(2027, 5, 20), "robbed out")
    assert books.balance(account, subject=f"batch:{nuc.batch_id}") == 48_00
    assert books.balance("nucs-in-hand") == 48_00


def test_a_nuc_without_a_queen_is_lost_without_a_posting(owner):
    nuc = made_batch(1, queened=False).nucs.get()

    services.end_nuc(nuc_id=nuc.pk, state="lost", on=date(2027, 5, 20), cause="robbed out", actor=owner)

    assert books.balance("nuc-losses") == 0


def test_a_lost_nuc_has_a_cause(owner):
    nuc = made_batch(1).nucs.get()

    with pytest.raises(services.CauseMissing, match="Say what the nuc was lost to"):
        services.end_nuc(nuc_id=nuc.pk, state="lost", on=date(2027, 5, 20), cause="  ", actor=owner)


@pytest.mark.parametrize("state", ["handed over", "laying", "nonsense"])
def test_only_an_end_ends_a_nuc(owner, state):
    nuc = made_batch(1).nucs.get()

    with pytest.raises(services.NotAnEnd):
        services.end_nuc(nuc_id=nuc.pk, state=state, on=date(2027, 5, 20), cause="", actor=owner)


def test_a_nuc_does_not_end_before_it_was_made(owner):
    nuc = made_batch(1).nucs.get()

    with pytest.raises(services.EndedTooEarly):
        services.end_nuc(nuc_id=nuc.pk, state="kept", on=date(2027, 5, 3), cause="", actor=owner)


def test_nucs_handed_over_take_their_cost_along(owner):
    batch = ready_batch(3, owner)
    first, second, _third = batch.nucs.order_by("number")

    cents = give([first, second], owner)

    first.refresh_from_db()
    assert cents == 96_00
    assert (first.state, first.ended_on) == ("handed over", GATE)
    assert books.balance("cost-of-nucs", subject=f"batch:{batch.pk}") == 96_00
    assert books.balance("nucs-in-hand") == 48_00
    assert queries.state_counts(batch.season_id)["handed over"] == 2


def test_a_source_hands_over_once(owner):
    first, second = ready_batch(2, owner).nucs.order_by("number")
    give([first], owner)

    with pytest.raises(AlreadyPosted), transaction.atomic():
        give([second], owner)

    second.refresh_from_db()
    assert second.state == "laying"


def test_a_nuc_below_its_standard_stays(owner):
    ready, short = made_batch(2).nucs.order_by("number")
    services.record_checks(
        on=READY_ON,
        drafts=[
            services.CheckDraft(ready.pk, **GOOD),
            services.CheckDraft(short.pk, **{**GOOD, "covered_halves": 6}),
        ],
        actor=owner,
    )

    with pytest.raises(services.NucNotReady) as refusal:
        give([ready, short], owner)

    assert str(refusal.value) == ("Nuc 2 does not meet its sale standard yet. Give another one, or check it again.")
    ready.refresh_from_db()
    assert ready.state == "laying"


def test_a_nuc_is_handed_over_once(owner):
    nuc = ready_batch(1, owner).nucs.get()
    give([nuc], owner)

    with pytest.raises(services.NucNotReady, match="Nuc 1 is handed over and cannot be handed over"):
        give([nuc], owner, source="hand-over:2")


def test_a_nuc_on_hold_stays_until_it_is_released(owner):
    nuc = ready_batch(1, owner).nucs.get()
    services.hold_nuc(nuc_id=nuc.pk, reason="spotty brood", actor=owner)

    with pytest.raises(services.NucOnHold, match="Nuc 1 is on hold: spotty brood. Give another one."):
        give([nuc], owner)
    assert not queries.ready_nucs(nuc.season_id, on=GATE).exists()

    services.release_nuc(nuc_id=nuc.pk, actor=owner)

    assert give([nuc], owner) == 48_00


def test_no_nuc_leaves_a_yard_on_hold(owner):
    batch = ready_batch(1, owner)
    HoldFactory(yard=batch.stands_at, starts_on=date(2027, 6, 3), reason="inspector's order")

    with pytest.raises(services.NucOnHold, match="inspector's order"):
        give(batch.nucs.all(), owner)
    assert not queries.ready_nucs(batch.season_id, on=GATE).exists()
    assert queries.ready_nucs(batch.season_id, on=date(2027, 6, 2)).count() == 1


def test_a_nuc_that_is_not_there_hands_nothing_over(owner):
    nuc = ready_batch(1, owner).nucs.get()

    with pytest.raises(services.NoSuchNuc):
        services.hand_over_nucs(nuc_ids=[nuc.pk, 999_999], on=GATE, source="hand-over:1", actor=owner)


def test_a_hold_says_why_and_is_placed_once(owner):
    nuc = made_batch(1).nucs.get()

    with pytest.raises(services.CauseMissing, match="Say why"):
        services.hold_nuc(nuc_id=nuc.pk, reason=" ", actor=owner)
    with pytest.raises(services.NotHeld):
        services.release_nuc(nuc_id=nuc.pk, actor=owner)
    services.hold_nuc(nuc_id=nuc.pk, reason="spotty brood", actor=owner)
    with pytest.raises(services.AlreadyHeld, match="already on hold: spotty brood"):
        services.hold_nuc(nuc_id=nuc.pk, reason="again", actor=owner)


def test_a_returned_nuc_ends_without_charging_its_queen_twice(owner):
    nuc = ready_batch(1, owner).nucs.get()
    give([nuc], owner)
    Nuc.objects.filter(pk=nuc.pk).update(state="returned")

    services.end_nuc(nuc_id=nuc.pk, state="united", on=date(2027, 6, 20), cause="", actor=owner)

    assert books.balance("cost-of-nucs") == 48_00
    assert books.balance("nuc-losses") == 0
    assert books.balance("nucs-in-hand") == 0


@pytest.mark.parametrize(
    ("start", "end"),
    [(start, end) for start in Nuc.PATHS for end in Nuc.PATHS if end != start and end not in Nuc.PATHS[start]],
)
def test_a_nuc_moves_only_along_its_paths(start, end):
    nuc = made_batch(1, queened=False).nucs.get()
    _walk_to(nuc, start)

    with pytest.raises(IntegrityError, match="cannot move between these states"), transaction.atomic():
        Nuc.objects.filter(pk=nuc.pk).update(state=end)


def _walk_to(nuc, state):
    """Bring a nuc to a state along the paths, the shortest way."""
    ways = {"made": []}
    queue = ["made"]
    while queue:
        here = queue.pop(0)
        for there in Nuc.PATHS[here]:
            if there not in ways:
                ways[there] = [*ways[here], there]
                queue.append(there)
    for step in ways[state]:
        Nuc.objects.filter(pk=nuc.pk).update(state=step, ended_on=READY_ON)
