from datetime import date

import pytest

from apiary_ops.allocation import queries, services
from apiary_ops.allocation.models import Pin
from apiary_ops.orders import services as order_services
from tests.factories.allocation import NOW, TODAY, owed, ready
from tests.factories.nucs import NucKindFactory
from tests.factories.people import UserFactory

pytestmark = pytest.mark.django_db

FIRST, SECOND = date(2027, 5, 31), date(2027, 6, 7)


@pytest.fixture
def office():
    return UserFactory(office=True)


def pin(line, actor, *, week=SECOND, kind=None, reason="asked for this week by telephone"):
    kind_id = (kind or line.kind).pk
    return services.pin_line(line_id=line.pk, week=week, kind_id=kind_id, reason=reason, today=TODAY, actor=actor)


def test_a_pinned_line_goes_in_its_week_before_every_other(office):
    late, early = owed(2, name="Late"), owed(2, name="Early", tier="wholesale")
    ready(2)
    pin(late, office)

    plan = services.propose_plan(season_id=late.order.season_id, today=TODAY, now=NOW, actor=office)

    rows = queries.plan_rows(plan)
    assert [(row.line, row.given, row.reason) for row in rows if not row.short] == [
        (late, "2, week of 7 June", "Pinned to the week of 7 June.")
    ]
    assert [row.line for row in rows if row.short] == [early]


def test_a_pin_that_the_supply_does_not_cover_is_refused_in_the_plan(office):
    line = owed(2)
    ready(1)
    pin(line, office)

    plan = services.propose_plan(season_id=line.order.season_id, today=TODAY, now=NOW, actor=office)

    (row,) = queries.refused_pins(queries.plan_rows(plan))
    assert row.pin_refusal == "The line needs 2, and the week of 7 June had only 1 ready."
    assert row.short == 2


def test_any_day_of_the_week_pins_the_week(office):
    assert pin(owed(1), office, week=date(2027, 6, 9)).week == SECOND


def test_a_kind_the_line_does_not_take_cannot_be_pinned(office):
    winter = NucKindFactory(code="winter", name="overwintered nuc")

    with pytest.raises(services.CannotPin, match=r"^The line takes 5-frame spring nuc, not overwintered nuc\.$"):
        pin(owed(1), office, kind=winter)


def test_a_week_the_line_cannot_take_cannot_be_pinned(office):
    with pytest.raises(services.CannotPin) as refusal:
        pin(owed(1), office, week=date(2027, 7, 5))

    assert str(refusal.value) == "The line can go from the week of 31 May to the week of 14 June only."


def test_a_line_that_is_owed_nothing_cannot_be_pinned(office):
    line = owed(1)
    order_services.cancel_line(line_id=line.pk, on=TODAY, reason="no more", actor=office)

    with pytest.raises(
        services.CannotPin, match=r"^No nucs are owed on this line, so it needs no place\. Pin another\.$"
    ):
        pin(line, office)


def test_a_pin_says_why(office):
    with pytest.raises(services.CannotPin, match=r"^Say why the line is pinned, so that others leave it there\.$"):
        pin(owed(1), office, reason=" ")


def test_a_line_has_one_pin(office):
    line = owed(1)
    pin(line, office)

    with pytest.raises(services.AlreadyPinned, match=r"^This line is already pinned\. Remove its pin first\.$"):
        pin(line, office, week=FIRST)


def test_a_pin_makes_the_plan_stale_and_so_does_its_removal(office):
    line = owed(1)
    season_id = line.order.season_id
    plan = services.propose_plan(season_id=season_id, today=TODAY, now=NOW, actor=office)
    pin(line, office)
    assert queries.moved_areas(plan) == ["pins or the standing plan"]
    pinned = services.propose_plan(season_id=season_id, today=TODAY, now=NOW, actor=office)

    services.unpin_line(line_id=line.pk, actor=office)

    assert queries.moved_areas(pinned) == ["pins or the standing plan"]
    assert Pin.objects.count() == 0


def test_a_pin_on_a_line_that_was_cancelled_is_left_out(office):
    line = owed(1)
    pin(line, office)
    order_services.cancel_line(line_id=line.pk, on=TODAY, reason="no more", actor=office)

    inputs = queries.plan_inputs(line.order.season_id, TODAY)

    assert inputs.pins == []
