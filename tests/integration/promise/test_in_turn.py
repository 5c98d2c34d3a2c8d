"""Everyone whose deposit is complete is promised in turn, as if promised one by one."""

from datetime import UTC, date, datetime

import pytest

from apiary_ops.orders.models import Line
from apiary_ops.promise import queries, services
from apiary_ops.promise.models import Release, Wait
from tests.factories.orders import BuyerFactory, LineFactory, OrderFactory

pytestmark = pytest.mark.django_db

TODAY = date(2027, 4, 12)


def ask(round_, kind, quantity, paid_on=None, tier="new"):
    paid = datetime(2027, 1, paid_on, 9, tzinfo=UTC) if paid_on else None
    buyer = BuyerFactory(tier=tier)
    order = OrderFactory(season=round_.season, buyer=buyer, deposit_complete_at=paid)
    return LineFactory(order=order, round=round_, kind=kind, quantity=quantity)


def states(*lines):
    return [Line.objects.get(pk=line.pk).state for line in lines]


@pytest.mark.usefixtures("forecast")
def test_who_paid_first_is_served_first_and_one_that_does_not_fit_holds_up_nobody(first, kind, clerk):
    late, early, big, small = (
        ask(first, kind, 2, paid_on=20),
        ask(first, kind, 5, paid_on=10),
        ask(first, kind, 4, paid_on=15),
        ask(first, kind, 1, paid_on=25),
    )

    turns = services.promise_in_turn(season_id=first.season_id, today=TODAY, actor=clerk)

    assert states(late, early, big, small) == ["promised", "promised", "waiting", "promised"]
    assert [line.pk for line in turns.promised] == [early.pk, late.pk, small.pk]
    assert Wait.objects.get(line=big).room == 0
    assert Release.objects.get(round=first, kind=kind).promised == 8


@pytest.mark.usefixtures("forecast")
def test_a_wholesale_buyer_goes_before_a_new_one_who_paid_earlier(first, kind, clerk):
    new, wholesale = ask(first, kind, 8, paid_on=5), ask(first, kind, 8, paid_on=20, tier="wholesale")

    services.promise_in_turn(season_id=first.season_id, today=TODAY, actor=clerk)

    assert states(new, wholesale) == ["waiting", "promised"]


@pytest.mark.usefixtures("forecast")
def test_who_has_not_paid_is_not_promised(first, kind, clerk):
    unpaid = ask(first, kind, 1)

    turns = services.promise_in_turn(season_id=first.season_id, today=TODAY, actor=clerk)

    assert (turns.promised, turns.waiting) == ((), ())
    assert states(unpaid) == ["asked"]


@pytest.mark.usefixtures("forecast")
def test_no_room_is_left_that_one_by_one_would_have_used(first, second, kind, clerk):
    lines = [
        ask(round_, kind, 3, paid_on=day) for day, round_ in enumerate([first, second, first, second] * 2, start=1)
    ]

    services.promise_in_turn(season_id=first.season_id, today=TODAY, actor=clerk)

    promised = [line for line in lines if states(line) == ["promised"]]
    assert sum(line.quantity for line in promised if line.round == first) == 6
    assert sum(line.quantity for line in promised) == 15
    assert all(row.room < 3 for row in queries.room(first.season_id, TODAY))
