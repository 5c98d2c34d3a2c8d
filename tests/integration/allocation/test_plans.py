from datetime import UTC, date, datetime, timedelta
from decimal import Decimal

import pytest
from django.db import IntegrityError, transaction

from apiary_ops.allocation import queries, services
from apiary_ops.allocation.models import Place, Plan
from apiary_ops.business import stamps
from apiary_ops.nucs.models import Nuc
from apiary_ops.orders import services as order_services
from apiary_ops.orders.models import Line
from apiary_ops.promise.models import Telling
from tests.factories.allocation import NOW, TODAY, owed, ready
from tests.factories.nucs import BatchFactory, NucFactory, NucKindFactory
from tests.factories.orders import LineFactory
from tests.factories.people import UserFactory
from tests.factories.yards import HoldFactory, YardFactory

pytestmark = pytest.mark.django_db

FIRST, SECOND, THIRD = date(2027, 5, 31), date(2027, 6, 7), date(2027, 6, 14)


@pytest.fixture
def office():
    return UserFactory(office=True)


def propose(season, actor=None, *, today=TODAY, now=NOW) -> Plan:
    return services.propose_plan(season_id=season.pk, today=today, now=now, actor=actor)


def given(plan: Plan) -> list[tuple]:
    """Buyer, week, nucs, short: one row a place."""
    places = Place.objects.filter(plan=plan).select_related("line__order__buyer").order_by("id")
    return [(place.line.order.buyer.name, place.week, place.quantity, place.short) for place in places]


def tell(line, firmness, starts_on, ends_before, actor):
    Telling.objects.create(
        line=line, firmness=firmness, starts_on=starts_on, ends_before=ends_before, told_on=TODAY, told_by=actor
    )


def test_lines_are_served_by_tier_then_by_the_instant_their_deposit_was_complete():
    early, late = datetime(2027, 1, 3, tzinfo=UTC), datetime(2027, 1, 4, tzinfo=UTC)
    owed(1, name="Last", paid_at=late)
    owed(1, name="Unpaid")
    owed(1, name="First", paid_at=early)
    returning = owed(1, name="Returning", tier="returning", paid_at=late)
    ready(3)

    plan = propose(returning.order.season)

    assert given(plan) == [
        ("Returning", FIRST, 1, 0),
        ("First", FIRST, 1, 0),
        ("Last", FIRST, 1, 0),
        ("Unpaid", None, 0, 1),
    ]


def test_each_place_says_where_from_and_why():
    line = owed(2)
    batch = ready(2)[0].batch

    place = Place.objects.get(plan=propose(line.order.season))

    assert place.supply == f"batch:{batch.pk}"
    assert place.kind == line.kind
    assert place.reason == "Given the week of 31 May, the earliest it can take."


def test_a_week_told_is_kept(office):
    line = owed(1)
    tell(line, "week", SECOND, THIRD, office)
    ready(1)

    plan = propose(line.order.season)

    assert [(place.week, place.reason) for place in plan.places.all()] == [(SECOND, "Given the week it was told.")]


def test_a_round_told_later_moves_the_weeks_of_a_line(office):
    line = owed(1)
    tell(line, "round", THIRD, date(2027, 6, 28), office)
    ready(1, ready_on=date(2027, 6, 10))

    assert [place.week for place in propose(line.order.season).places.all()] == [THIRD]


def test_a_slip_names_the_week_it_moves_to(office):
    line = owed(1)
    tell(line, "day", date(2027, 6, 5), date(2027, 6, 6), office)
    ready(1, ready_on=date(2027, 6, 8))

    place = propose(line.order.season).places.get()

    assert (place.week, place.reason) == (SECOND, "Moved to the week of 7 June: the week told had nothing ready.")


def test_a_substitute_is_named_in_the_sentence():
    winter = NucKindFactory(code="winter", name="overwintered nuc")
    line = owed(1)
    line.substitutes.add(winter)
    ready(1, kind=winter)

    place = propose(line.order.season).places.get()

    assert place.kind == winter
    assert place.reason == "Given the week of 31 May in overwintered nuc, because 5-frame spring nuc ran short."


def test_held_nucs_lost_nucs_and_nucs_of_a_held_yard_serve_nobody():
    line = owed(3)
    held, lost, in_yard = ready(1), ready(1), ready(1)
    Nuc.objects.filter(pk=held[0].pk).update(hold_reason="looks sick")
    Nuc.objects.filter(pk=lost[0].pk).update(state="lost", ended_on=TODAY)
    HoldFactory(yard=in_yard[0].yard, starts_on=date(2027, 5, 1))

    assert given(propose(line.order.season)) == [(line.order.buyer.name, None, 0, 3)]


def test_a_coming_batch_counts_what_may_be_expected_of_it():
    line = owed(4, part_loads=True)
    batch = BatchFactory(size=4, made_on=date(2027, 5, 12))
    NucFactory.create_batch(4, batch=batch, laying=True)

    places = propose(line.order.season).places.order_by("id")

    # 4 nucs, of which 84 % are expected to lay at sale: 3; four weeks from 12 May is 9 June.
    assert [(place.week, place.quantity, place.short) for place in places] == [(SECOND, 3, 0), (None, 0, 1)]


def test_a_buyer_who_collects_at_one_yard_is_not_given_nucs_of_another_pickup_yard():
    north, south = YardFactory(is_pickup_yard=True), YardFactory(is_pickup_yard=True)
    line = owed(1)
    line.order.pickup_yard = north
    line.order.save(update_fields=["pickup_yard"])
    ready(1, stands_at=south)

    assert propose(line.order.season).places.get().short == 1


def test_nucs_that_stand_where_nobody_collects_can_be_brought_to_any_pickup_yard():
    line = owed(1)
    line.order.pickup_yard = YardFactory(is_pickup_yard=True)
    line.order.save(update_fields=["pickup_yard"])
    ready(1, stands_at=YardFactory(is_pickup_yard=False))

    assert propose(line.order.season).places.get().quantity == 1


def test_only_what_is_promised_and_still_to_come_is_served():
    line = owed(2)
    owed(1)
    for state in ("asked", "waiting", "lapsed"):
        LineFactory(state=state)
    ready(9)

    assert sum(place.quantity for place in propose(line.order.season).places.all()) == 3


def test_the_same_facts_give_the_same_plan_only_once(office):
    season = owed(1).order.season

    first, second = propose(season), propose(season, office)

    assert first == second
    assert Plan.objects.count() == 1


def test_a_plan_worked_out_in_another_week_is_a_new_one():
    season = owed(1).order.season

    first = propose(season)
    second = propose(season, today=TODAY + timedelta(weeks=1), now=NOW + timedelta(weeks=1))

    assert first != second


def test_an_accepted_plan_stands_and_replaces_the_one_before(office):
    line = owed(1)
    season = line.order.season
    first = services.accept_plan(plan_id=propose(season).pk, now=NOW, actor=office)
    owed(1)
    stamps.bump(season.pk, "orders")

    second = services.accept_plan(plan_id=propose(season).pk, now=NOW, actor=office)

    first.refresh_from_db()
    assert (first.is_standing, second.is_standing) == (False, True)
    assert (second.accepted_by, second.accepted_at) == (office, NOW)
    assert queries.standing_plan(season.pk) == second
    assert queries.moved_areas(second) == []


def test_accepting_the_standing_plan_again_changes_nothing(office):
    plan = propose(owed(1).order.season)
    once = services.accept_plan(plan_id=plan.pk, now=NOW, actor=office)

    again = services.accept_plan(plan_id=plan.pk, now=NOW + timedelta(hours=1), actor=UserFactory())

    assert (again.accepted_at, again.accepted_by) == (once.accepted_at, office)


def test_a_plan_cannot_be_accepted_onto_a_changed_world(office):
    line = owed(1)
    plan = propose(line.order.season)
    order_services.cancel_line(line_id=line.pk, on=TODAY, reason="sold the land", actor=office)

    with pytest.raises(services.StalePlan) as refusal:
        services.accept_plan(plan_id=plan.pk, now=NOW, actor=office)

    assert str(refusal.value) == (
        "This has changed since the plan was made: orders. Work out a new plan and look at what it changes."
    )
    assert queries.standing_plan(plan.season_id) is None


def test_a_proposal_made_before_another_plan_was_accepted_is_stale(office):
    season = owed(1).order.season
    first = propose(season)
    stamps.bump(season.pk, "nucs")
    services.accept_plan(plan_id=propose(season).pk, now=NOW, actor=office)

    with pytest.raises(services.StalePlan, match="nucs, pins or the standing plan"):
        services.accept_plan(plan_id=first.pk, now=NOW, actor=office)


def test_a_plan_of_last_week_cannot_be_accepted(office):
    plan = propose(owed(1).order.season)

    with pytest.raises(services.StalePlan) as refusal:
        services.accept_plan(plan_id=plan.pk, now=NOW + timedelta(weeks=1), actor=office)

    assert str(refusal.value) == "This plan was made on Wed 2 Jun 2027, in another week. Work out a new plan."


def test_a_replaced_plan_does_not_stand_again(office):
    season = owed(1).order.season
    first = services.accept_plan(plan_id=propose(season).pk, now=NOW, actor=office)
    stamps.bump(season.pk, "nucs")
    services.accept_plan(plan_id=propose(season).pk, now=NOW, actor=office)

    with pytest.raises(services.StalePlan, match=r"^This plan was replaced by a later one\. Work out a new plan\.$"):
        services.accept_plan(plan_id=first.pk, now=NOW, actor=office)


def test_a_new_plan_shows_who_gains_and_who_slips(office):
    early = datetime(2027, 1, 3, tzinfo=UTC)
    gainer, loser = owed(1, name="Gainer"), owed(1, name="Loser", paid_at=early)
    season = gainer.order.season
    batch = ready(1)
    services.accept_plan(plan_id=propose(season).pk, now=NOW, actor=office)
    ready(1, ready_on=date(2027, 6, 8))
    Nuc.objects.filter(pk=batch[0].pk).update(state="lost", ended_on=TODAY)
    ready(1, ready_on=date(2027, 6, 15))
    stamps.bump(season.pk, "nucs")

    rows = queries.plan_rows(propose(season), queries.standing_plan(season.pk))

    assert [(row.line, row.change, row.given_before, row.given) for row in queries.change_rows(rows)] == [
        (loser, "slips", "1, week of 31 May", "1, week of 7 June"),
        (gainer, "gains", "nothing", "1, week of 14 June"),
    ]
    assert queries.plan_summary(rows) == {
        "lines": 2,
        "asked": 2,
        "given": 2,
        "short": 0,
        "short_lines": 0,
        "gains": 1,
        "slips": 1,
        "gone": 0,
    }


def test_a_cancelled_line_is_shown_as_no_longer_owed(office):
    line = owed(1)
    ready(1)
    season = line.order.season
    services.accept_plan(plan_id=propose(season).pk, now=NOW, actor=office)
    order_services.cancel_line(line_id=line.pk, on=TODAY, reason="moved away", actor=office)

    (row,) = queries.plan_rows(propose(season), queries.standing_plan(season.pk))

    assert (row.change, row.given_before, row.given, row.reason) == (
        "gone",
        "1, week of 31 May",
        "not in the plan",
        "No longer owed.",
    )


def test_totals_by_week_set_the_plan_against_what_is_there(office):
    line = owed(2)
    tell(line, "week", SECOND, THIRD, office)
    ready(3)
    plan = services.accept_plan(plan_id=propose(line.order.season).pk, now=NOW, actor=office)

    rows = queries.week_totals(line.order.season_id, TODAY, plan)

    # Ready on 1 June and kept ten days: good for the weeks of 31 May and 7 June.
    assert [(row.week, row.told, row.given, row.becomes_ready, row.left) for row in rows] == [
        (FIRST, 0, 0, 3, 3),
        (SECOND, 2, 2, 0, 1),
    ]


def test_two_kinds_of_one_name_are_told_apart():
    one = NucKindFactory(code="late", name="5-frame spring nuc")
    other = owed(1).kind

    assert queries.kind_names() == {one.pk: "5-frame spring nuc (late)", other.pk: "5-frame spring nuc (spring-5)"}


def test_proposing_takes_the_same_number_of_queries_for_many_lines(django_assert_max_num_queries):
    season = owed(1).order.season
    for _ in range(20):
        owed(1)
    ready(12)

    with django_assert_max_num_queries(20):
        propose(season)


# --- What the database keeps by itself.


def test_a_place_never_changes():
    place = propose(owed(1).order.season).places.get()

    with pytest.raises(IntegrityError, match="A place in a plan never changes"), transaction.atomic():
        Place.objects.filter(pk=place.pk).update(reason="better")
    with pytest.raises(IntegrityError, match="A place in a plan never changes"), transaction.atomic():
        place.delete()


def test_a_plan_is_never_deleted_and_what_it_is_never_changes(office):
    plan = propose(owed(1).order.season)

    with pytest.raises(IntegrityError, match="never deleted"), transaction.atomic():
        Plan.objects.filter(pk=plan.pk)._raw_delete("default")
    with pytest.raises(IntegrityError, match="What a plan is never changes"), transaction.atomic():
        Plan.objects.filter(pk=plan.pk).update(made_at=NOW)


def test_an_accepted_plan_takes_no_more_places(office):
    line = owed(1)
    plan = services.accept_plan(plan_id=propose(line.order.season).pk, now=NOW, actor=office)

    with pytest.raises(IntegrityError, match="takes no more places"), transaction.atomic():
        Place.objects.create(plan=plan, line=line, short=1, reason="late")


def test_a_plan_is_accepted_once_and_a_replaced_one_stays_so(office):
    season = owed(1).order.season
    first = services.accept_plan(plan_id=propose(season).pk, now=NOW, actor=office)
    stamps.bump(season.pk, "nucs")
    services.accept_plan(plan_id=propose(season).pk, now=NOW, actor=office)

    with pytest.raises(IntegrityError, match="accepted once"), transaction.atomic():
        Plan.objects.filter(pk=first.pk).update(accepted_at=NOW)
    with pytest.raises(IntegrityError, match="does not stand again"), transaction.atomic():
        Plan.objects.filter(pk=first.pk).update(is_standing=True)


def test_two_plans_of_a_season_cannot_stand(office):
    season = owed(1).order.season
    plan = services.accept_plan(plan_id=propose(season).pk, now=NOW, actor=office)

    with pytest.raises(IntegrityError), transaction.atomic():
        Plan.objects.create(season=season, made_at=NOW, stamps={}, accepted_at=NOW, is_standing=True)
    assert queries.standing_plan(season.pk) == plan


@pytest.mark.parametrize(
    "given", [{"quantity": 1, "week": FIRST}, {"quantity": 0, "short": 0}, {"short": 1, "week": FIRST}]
)
def test_a_place_gives_nucs_in_a_week_or_says_how_many_are_short(given):
    line = owed(1)
    plan = Plan.objects.create(season=line.order.season, made_at=NOW, stamps={})

    with pytest.raises(IntegrityError), transaction.atomic():
        Place.objects.create(plan=plan, line=line, reason="why", **given)


def test_quantities_outstanding_are_served_not_what_was_collected():
    line = owed(3, part_loads=True, collected=1)
    Line.objects.filter(pk=line.pk).update(state="part collected")
    ready(5)

    assert [place.quantity for place in propose(line.order.season).places.all()] == [2]


def test_the_laying_rate_of_the_kind_decides_what_may_be_expected():
    kind = NucKindFactory(queen_laying_rate=Decimal("1"))
    line = owed(4)
    NucFactory.create_batch(4, batch=BatchFactory(size=4, kind=kind, made_on=date(2027, 5, 12)), laying=True)

    assert propose(line.order.season).places.get().quantity == 4
