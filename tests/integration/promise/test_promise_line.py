"""A line is promised while the count of every round stays safe in a late spring; beyond that it waits."""

from datetime import UTC, date, datetime

import pytest
from django.db import IntegrityError, transaction

from apiary_ops.business import stamps
from apiary_ops.orders.models import Line
from apiary_ops.promise import queries, services
from apiary_ops.promise.models import Override, Release, Telling, Wait
from tests.factories.capacity import AssumptionsFactory, stand_forecast
from tests.factories.nucs import BatchFactory, NucFactory, SplitDayFactory
from tests.factories.orders import BuyerFactory, LineFactory, OrderFactory
from tests.integration.promise.conftest import BY_FIRST

pytestmark = pytest.mark.django_db

TODAY = date(2027, 4, 12)


def ask(first, kind, quantity, **order):
    return LineFactory(order=OrderFactory(season=first.season, **order), round=first, kind=kind, quantity=quantity)


def promise(line, actor, **more):
    return services.promise_line(line_id=line.pk, today=TODAY, actor=actor, **more)


@pytest.mark.usefixtures("forecast")
def test_what_is_safe_is_promised_and_the_round_is_told(first, kind, clerk):
    line = ask(first, kind, 8)

    promised = promise(line, clerk)

    assert promised.state == Line.State.PROMISED
    telling = Telling.objects.get(line=line)
    assert (telling.firmness, telling.starts_on, telling.ends_before) == ("round", first.starts_on, first.ends_before)
    assert (telling.told_on, telling.told_by) == (TODAY, clerk)
    assert Release.objects.get(round=first, kind=kind).promised == 8


@pytest.mark.usefixtures("forecast")
def test_one_more_than_is_safe_waits_and_says_why(first, kind, clerk):
    promise(ask(first, kind, 6), clerk)

    waiting = promise(ask(first, kind, 3), clerk)

    assert waiting.state == Line.State.WAITING
    wait = Wait.objects.get(line=waiting)
    assert wait.room == 2
    assert wait.reason == "3 asked, 2 more are safe in a late spring (5-frame spring nuc, first round)."
    assert Release.objects.get(round=first, kind=kind).promised == 6


@pytest.mark.usefixtures("forecast")
def test_a_later_rounds_promises_limit_an_earlier_round(first, second, kind, clerk):
    promise(ask(second, kind, 12), clerk)

    waiting = promise(ask(first, kind, 5), clerk)

    assert Wait.objects.get(line=waiting).reason == (
        "5 asked, 4 more are safe in a late spring (5-frame spring nuc, first round). "
        "What is promised for the second round limits it."
    )


def test_without_a_forecast_a_line_waits_for_one(first, kind, clerk):
    waiting = promise(ask(first, kind, 1), clerk)

    assert waiting.state == Line.State.WAITING
    assert Wait.objects.get().reason == "No forecast is made yet. Press “Recompute” under Capacity first."


@pytest.mark.usefixtures("forecast")
def test_a_line_is_promised_once(first, kind, clerk):
    line = ask(first, kind, 1)
    promise(line, clerk)

    with pytest.raises(services.LineNotOpen, match="This line is promised already."):
        promise(line, clerk)

    assert Telling.objects.count() == 1


@pytest.mark.usefixtures("forecast")
def test_who_waits_ahead_and_fits_goes_first(first, kind, clerk):
    ahead = ask(first, kind, 9)
    promise(ahead, clerk)
    earlier = LineFactory(order=OrderFactory(season=first.season), round=first, kind=kind, quantity=7, state="waiting")

    behind = promise(ask(first, kind, 2), clerk)
    served = promise(earlier, clerk)

    assert behind.state == Line.State.WAITING
    assert Wait.objects.get(line=behind).reason == (
        "2 asked, 1 safe after those ahead in the waitlist (5-frame spring nuc, first round)."
    )
    assert served.state == Line.State.PROMISED


@pytest.mark.usefixtures("forecast")
def test_a_line_ahead_that_does_not_fit_holds_nobody_up(first, kind, clerk):
    promise(ask(first, kind, 9), clerk)

    assert promise(ask(first, kind, 8), clerk).state == Line.State.PROMISED


@pytest.mark.usefixtures("forecast")
def test_a_deposit_complete_earlier_goes_first_within_a_tier(first, kind):
    def waits(tier, paid_at):
        order = OrderFactory(season=first.season, buyer=BuyerFactory(tier=tier), deposit_complete_at=paid_at)
        return LineFactory(order=order, round=first, kind=kind, state="waiting")

    unpaid = waits("returning", None)
    late = waits("returning", datetime(2027, 2, 2, tzinfo=UTC))
    new = waits("new", datetime(2027, 1, 1, tzinfo=UTC))
    early = waits("returning", datetime(2027, 1, 20, tzinfo=UTC))
    wholesale = waits("wholesale", None)

    rows = queries.waitlist(first.season_id)

    assert [row.line for row in rows] == [wholesale, early, late, unpaid, new]
    assert [row.place for row in rows] == [1, 2, 3, 4, 5]
    assert [row.room for row in rows] == [8, 6, 4, 2, 0]


@pytest.mark.usefixtures("forecast")
def test_the_owner_may_promise_beyond_with_a_reason_that_stays(first, kind, owner):
    promise(ask(first, kind, 6), owner)

    promised = promise(ask(first, kind, 5), owner, override_reason="old friends, and the second yard is early")

    assert promised.state == Line.State.PROMISED
    override = Override.objects.get(line=promised)
    assert (override.nucs, override.reason) == (3, "old friends, and the second yard is early")
    release = Release.objects.get(round=first, kind=kind)
    assert (release.released, release.promised, release.short) == (11, 11, 3)


@pytest.mark.usefixtures("forecast")
def test_nobody_but_the_owner_promises_beyond(first, kind, clerk):
    line = ask(first, kind, 9)

    with pytest.raises(services.OverrideNeedsOwner, match="Only the owner promises beyond the safe number."):
        promise(line, clerk, override_reason="they insist")

    line.refresh_from_db()
    assert line.state == Line.State.ASKED
    assert not Override.objects.exists()


@pytest.mark.usefixtures("forecast")
def test_a_reason_is_not_kept_where_none_is_needed(first, kind, owner):
    promise(ask(first, kind, 2), owner, override_reason="just in case")

    assert not Override.objects.exists()


@pytest.mark.usefixtures("forecast")
def test_a_cancelled_promise_makes_room_again(first, kind, clerk):
    line = ask(first, kind, 8)
    promise(line, clerk)
    Line.objects.filter(pk=line.pk).update(state="cancelled")

    assert promise(ask(first, kind, 8), clerk).state == Line.State.PROMISED


def test_what_was_made_since_the_forecast_is_counted_once(first, kind, forecast, season, clerk):
    batch = BatchFactory(split_day=SplitDayFactory(season=season, on=date(2027, 5, 3)), kind=kind, size=5)
    NucFactory.create_batch(5, batch=batch)

    rooms = queries.room(season.pk, date(2027, 5, 4))

    # 5 of the 10 nucs are made: 4 of them will lay, and half of the 8 stay to be made.
    assert [(row.room, {step.what: step.nucs for step in row.steps}["made since"]) for row in rooms] == [(8, -4)]


def test_a_share_held_back_is_not_promised(first, kind, forecast, season, clerk):
    AssumptionsFactory(season=season, release_percent=50)

    assert [row.room for row in queries.room(season.pk, TODAY)] == [4]


@pytest.mark.usefixtures("forecast")
def test_a_decision_moves_the_stamp(first, kind, clerk, season):
    before = stamps.read(season.pk, ["promise"])["promise"]

    promise(ask(first, kind, 1), clerk)

    assert stamps.read(season.pk, ["promise"])["promise"] == before + 1


# --- What the database itself keeps.


def test_the_database_refuses_a_promise_that_nothing_was_released_for(first, kind):
    line = ask(first, kind, 1)

    with pytest.raises(IntegrityError, match="Nothing of this kind is released in this round"), transaction.atomic():
        Line.objects.filter(pk=line.pk).update(state="promised")


@pytest.mark.usefixtures("forecast")
def test_the_database_refuses_more_promised_than_released(first, kind, season):
    services.refresh_releases(season_id=season.pk, today=TODAY)
    line = ask(first, kind, 9)

    with pytest.raises(IntegrityError, match="no_more_promised_than_released"), transaction.atomic():
        Line.objects.filter(pk=line.pk).update(state="promised")

    assert Release.objects.get(round=first, kind=kind).promised == 0


@pytest.mark.usefixtures("forecast")
def test_promised_counts_what_is_owed_and_what_was_given(first, kind, season):
    release = Release.objects.create(round=first, kind=kind, released=20)
    states = ("asked", "promised", "part collected", "collected", "waiting", "cancelled", "lapsed")
    lines = {
        state: LineFactory(order=OrderFactory(season=season), round=first, kind=kind, quantity=2, state=state)
        for state in states
    }
    release.refresh_from_db()
    counted = release.promised

    Line.objects.filter(pk=lines["promised"].pk).update(state="waiting")
    Line.objects.filter(pk=lines["part collected"].pk).update(state="collected")

    release.refresh_from_db()
    assert (counted, release.promised) == (6, 4)


def test_what_was_told_is_never_changed(first, kind, forecast, clerk):
    promise(ask(first, kind, 1), clerk)

    with pytest.raises(IntegrityError, match="What a buyer was told stays on record"), transaction.atomic():
        Telling.objects.update(reason="something else")


def test_the_forecast_that_stands_is_the_latest(first, kind, forecast, season):
    stand_forecast(season, kind, {BY_FIRST: 100})

    assert [row.room for row in queries.room(season.pk, TODAY)] == [80]
