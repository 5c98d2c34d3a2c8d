from datetime import timedelta

import pytest
from django.db import IntegrityError, transaction

from apiary_ops.allocation import queries, services
from apiary_ops.allocation.models import Binding
from apiary_ops.nucs.models import Nuc
from apiary_ops.orders import services as order_services
from tests.factories.allocation import NOW, TODAY, owed, ready
from tests.factories.nucs import NucFactory, NucKindFactory
from tests.factories.people import UserFactory
from tests.factories.yards import HoldFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def hand():
    return UserFactory(gate=True)


def bind(line, nucs, actor, now=NOW):
    return services.bind_nucs(line_id=line.pk, nuc_ids=[nuc.pk for nuc in nucs], now=now, actor=actor)


def refused(kind, line, nucs, actor) -> str:
    with pytest.raises(kind) as refusal:
        bind(line, nucs, actor)
    assert Binding.objects.filter(line=line).count() == 0
    return str(refusal.value)


def test_ready_nucs_are_given_to_a_line_by_number(hand):
    line, nucs = owed(2), ready(3)

    bound = bind(line, nucs[:2], hand)

    assert [(row.nuc, row.line, row.bound_by, row.bound_at) for row in bound] == [
        (nuc, line, hand, NOW) for nuc in nucs[:2]
    ]


def test_binding_again_what_the_line_has_changes_nothing(hand):
    line, nucs = owed(2), ready(2)
    first = bind(line, nucs, hand)

    assert bind(line, nucs, hand) == first
    assert Binding.objects.count() == 2


def test_a_nuc_given_to_one_order_is_not_given_to_another(hand):
    mine, other, nucs = owed(1, name="Mine"), owed(1), ready(1)
    bind(mine, nucs, hand)

    said = refused(services.NucAlreadyGiven, other, nucs, hand)

    assert said == (
        f"Nuc {nucs[0].number} is already given to order {mine.order.number} (Mine). "
        "Release it there or choose another."
    )


def test_a_nuc_that_is_not_ready_yet_is_refused_with_what_is_missing(hand):
    line, nuc = owed(1), NucFactory(laying=True)

    said = refused(services.NucNotFit, line, [nuc], hand)

    assert said.startswith(f"Nuc {nuc.number} cannot leave: it is not ready (")
    assert "frames covered not counted" in said


def test_a_nuc_that_will_be_ready_tomorrow_is_refused_today(hand):
    line, nucs = owed(1), ready(1, ready_on=TODAY + timedelta(days=1))

    assert "it is not ready" in refused(services.NucNotFit, line, nucs, hand)
    bind(line, nucs, hand, now=NOW + timedelta(days=1))


def test_a_held_nuc_and_a_nuc_of_a_held_yard_are_refused(hand):
    line, held, in_yard = owed(1), ready(1), ready(1)
    Nuc.objects.filter(pk=held[0].pk).update(hold_reason="mites")
    HoldFactory(yard=in_yard[0].yard, reason="brood disease suspected")

    assert "it is on hold (mites)" in refused(services.NucNotFit, line, held, hand)
    assert "it is on hold (brood disease suspected)" in refused(services.NucNotFit, line, in_yard, hand)


def test_a_nuc_that_was_lost_is_refused(hand):
    line, nucs = owed(1), ready(1)
    Nuc.objects.filter(pk=nucs[0].pk).update(state="lost", ended_on=TODAY)

    assert "it is lost" in refused(services.NucNotFit, line, nucs, hand)


def test_another_kind_is_refused_unless_the_line_accepts_it(hand):
    winter = NucKindFactory(code="winter", name="overwintered nuc")
    line, nucs = owed(1), ready(1, kind=winter)

    said = refused(services.WrongKind, line, nucs, hand)
    assert said == (
        f"Nuc {nucs[0].number} is of another kind (overwintered nuc); this line takes 5-frame spring nuc. "
        "Choose another."
    )

    line.substitutes.add(winter)
    assert len(bind(line, nucs, hand)) == 1


def test_no_more_nucs_are_bound_than_are_to_come(hand):
    line, nucs = owed(2), ready(3)
    bind(line, nucs[:1], hand)

    with pytest.raises(services.MoreThanOwed) as refusal:
        bind(line, nucs[1:], hand)

    assert str(refusal.value) == (
        "This line has 2 nucs to come and 1 of them bound already. Choose fewer, or release some."
    )


def test_a_line_that_is_not_promised_takes_no_nucs(hand):
    line, nucs = owed(1), ready(1)
    line.state = "waiting"
    line.save(update_fields=["state"])

    said = refused(services.NotPromised, line, nucs, hand)

    assert (
        said == f"Nothing is promised on this line of order {line.order.number}, so it takes no nucs. Promise it first."
    )


def test_a_released_nuc_can_be_given_to_another(hand):
    mine, other, nucs = owed(1), owed(1), ready(1)
    (binding,) = bind(mine, nucs, hand)

    released = services.release_binding(binding_id=binding.pk, reason="queen gone", now=NOW, actor=hand)

    assert (released.released_at, released.release_reason) == (NOW, "queen gone")
    assert bind(other, nucs, hand)[0].line == other
    with pytest.raises(services.AlreadyReleased, match=rf"^Nuc {nucs[0].number} was already released\.$"):
        services.release_binding(binding_id=binding.pk, reason="again", now=NOW, actor=hand)


def test_a_nuc_bound_to_a_cancelled_line_is_free_for_the_next(hand):
    gone, other, nucs = owed(1), owed(1), ready(1)
    bind(gone, nucs, hand)
    order_services.cancel_line(line_id=gone.pk, on=TODAY, reason="sold up", actor=hand)

    bind(other, nucs, hand)

    assert Binding.objects.get(line=gone).release_reason == "nothing is owed on its line any more"
    assert [row.line for row in queries.live_bindings([nucs[0].pk])] == [other]


def test_binding_does_not_make_the_plan_stale(hand):
    line, nucs = owed(1), ready(1)
    plan = services.propose_plan(season_id=line.order.season_id, today=TODAY, now=NOW, actor=hand)

    bind(line, nucs, hand)

    assert queries.moved_areas(plan) == []


# --- What the database keeps by itself.


def test_the_database_refuses_a_nuc_given_twice(hand):
    mine, other, nucs = owed(1), owed(1), ready(1)
    bind(mine, nucs, hand)

    with pytest.raises(IntegrityError), transaction.atomic():
        Binding.objects.create(nuc=nucs[0], line=other, bound_at=NOW, bound_by=hand)


def test_a_binding_goes_from_live_to_released_and_nowhere_else(hand):
    mine, other, nucs = owed(1), owed(1), ready(1)
    (binding,) = bind(mine, nucs, hand)

    with pytest.raises(IntegrityError, match="A binding never changes"), transaction.atomic():
        Binding.objects.filter(pk=binding.pk).update(line=other)
    with pytest.raises(IntegrityError, match="never deleted"), transaction.atomic():
        binding.delete()
    with pytest.raises(IntegrityError), transaction.atomic():
        Binding.objects.filter(pk=binding.pk).update(released_at=NOW)
    services.release_binding(binding_id=binding.pk, reason="queen gone", now=NOW, actor=hand)
    with pytest.raises(IntegrityError, match="A released binding stays as it is"), transaction.atomic():
        Binding.objects.filter(pk=binding.pk).update(released_at=None, release_reason="")
    with pytest.raises(IntegrityError, match="starts live"), transaction.atomic():
        Binding.objects.create(
            nuc=nucs[0], line=mine, bound_at=NOW, bound_by=hand, released_at=NOW, release_reason="never"
        )
