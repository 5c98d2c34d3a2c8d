"""Two clerks and the last safe nuc: a holder and a waiter, and never both promised."""

from datetime import date

import pytest

from apiary_ops.orders import services as orders
from apiary_ops.orders.models import Line
from apiary_ops.promise import services
from apiary_ops.promise.models import Release, Telling, Wait
from tests.factories.capacity import stand_forecast
from tests.factories.nucs import NucKindFactory
from tests.factories.orders import LineFactory, OrderFactory, RoundFactory
from tests.factories.people import UserFactory
from tests.postgres.racing import race

pytestmark = [pytest.mark.postgres, pytest.mark.django_db(transaction=True)]

TODAY = date(2027, 4, 12)


@pytest.fixture
def last_nuc():
    """A round in which a late spring leaves one nuc, and two lines that ask for it."""
    round_ = RoundFactory()
    kind = NucKindFactory(queen_laying_rate="1")
    stand_forecast(round_.season, kind, {date(2027, 5, 17): 1})
    services.refresh_releases(season_id=round_.season_id, today=TODAY)
    asked = [OrderFactory(season=round_.season) for _ in range(2)]
    return [LineFactory(order=order, round=round_, kind=kind, quantity=1) for order in asked]


def promise(line, clerk):
    return services.promise_line(line_id=line.pk, today=TODAY, actor=clerk)


def test_the_second_clerk_puts_the_buyer_on_the_waitlist(last_nuc):
    first, second = last_nuc
    one, other = UserFactory(office=True), UserFactory(office=True)

    held, waited = race(lambda: promise(first, one), lambda: promise(second, other))

    assert (held.state, waited.state) == (Line.State.PROMISED, Line.State.WAITING)
    assert Wait.objects.get().line == second
    assert Telling.objects.get().line == first
    assert Release.objects.get().promised == 1


def test_a_promise_taken_back_meanwhile_gives_its_place_to_the_clerk_who_waited(last_nuc):
    first, second = last_nuc
    clerk = UserFactory(office=True)
    promise(first, clerk)

    cancelled, waited = race(
        lambda: orders.cancel_line(line_id=first.pk, on=TODAY, reason="moved away", actor=clerk),
        lambda: promise(second, clerk),
    )

    assert (cancelled.state, waited.state) == (Line.State.CANCELLED, Line.State.PROMISED)
    assert Release.objects.get().promised == 1


def test_two_lines_of_one_order_do_not_lock_each_other_out():
    round_, kind = RoundFactory(), NucKindFactory(queen_laying_rate="1")
    stand_forecast(round_.season, kind, {date(2027, 5, 17): 4})
    order = OrderFactory(season=round_.season)
    one, other = (LineFactory(order=order, round=round_, kind=kind, quantity=1) for _ in range(2))
    clerk = UserFactory(office=True)
    promise(one, clerk)

    cancelled, promised = race(
        lambda: orders.cancel_line(line_id=one.pk, on=TODAY, reason="fewer", actor=clerk),
        lambda: promise(other, clerk),
    )

    assert (cancelled.state, promised.state) == (Line.State.CANCELLED, Line.State.PROMISED)
    assert Release.objects.get().promised == 1
