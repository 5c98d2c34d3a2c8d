"""May and June: the plan of who gets what, pickup days, and hand-overs up to the demo's today."""

from collections import defaultdict
from datetime import date, time, timedelta
from uuid import UUID

from apiary_ops.allocation import services as allocation
from apiary_ops.costs import queries as costs_queries
from apiary_ops.costs import services as costs
from apiary_ops.kernel.weeks import Week
from apiary_ops.nucs import queries as nuc_queries
from apiary_ops.nucs.models import Nuc
from apiary_ops.orders.models import Line
from apiary_ops.pickups import queries as pickup_queries
from apiary_ops.pickups import services as pickups
from apiary_ops.pickups.models import Booking, PickupDay
from apiary_ops.promise import services as promise

from . import spring
from .scenario import Scenario

# Three in a hundred do not come on the day booked (common practice: 3-6 %).
NO_SHOW = 0.04


def deliver(scenario: Scenario) -> None:
    days = pickup_days(scenario)
    for on in scenario.steps("pickup days", days):
        known_on = on - timedelta(days=9)
        if not scenario.past(known_on):
            break
        if on == days[0] or on.weekday() == 5:
            plan(scenario, known_on)
            tell_weeks(scenario, known_on)
        open_day(scenario, on)
        if on < scenario.today:
            hand_over_day(scenario, on)
    spring.forecast(scenario, scenario.today)
    spring.promise_in_turn(scenario, scenario.today)
    pay_bills(scenario)
    plan(scenario, scenario.today)


def pay_bills(scenario: Scenario) -> None:
    """What fell due was paid on its day."""
    for bill in costs_queries.owed(costs_queries.bills(today=scenario.today), due_until=scenario.today):
        costs.pay_bill(
            bill_id=bill.pk,
            paid_on=bill.due_on,
            cents=bill.total_cents - bill.paid_cents,
            paid_from="bank",
            actor=scenario.people["bookkeeper"],
        )


def pickup_days(scenario: Scenario) -> list[date]:
    """Saturdays from the end of May; a large season also collects on the days between."""
    first, last = scenario.monday(5, 24), scenario.monday(7, 5)
    step = 7 if scenario.size.orders < 500 else 1
    return [first + timedelta(days=5 + offset) for offset in range(0, (last - first).days - 5, step)]


def plan(scenario: Scenario, day: date) -> None:
    """Propose who gets what from what is known that evening, and accept it."""
    owner = scenario.people["owner"]
    proposed = allocation.propose_plan(season_id=scenario.season.pk, today=day, now=scenario.at(day, 20), actor=owner)
    scenario.found["plan"] = allocation.accept_plan(plan_id=proposed.pk, now=scenario.at(day, 20, 15), actor=owner)


def tell_weeks(scenario: Scenario, day: date) -> None:
    """The office rings those whose week comes next, and says the week."""
    week = Week.of(day + timedelta(days=9))
    told = scenario.found.setdefault("told", set())
    for place in scenario.found["plan"].places.filter(week=week.monday, quantity__gt=0):
        if place.line_id not in told:
            told.add(place.line_id)
            promise.tell(
                line_id=place.line_id,
                firmness="week",
                starts_on=week.monday,
                ends_before=week.ends_before,
                told_on=day,
                actor=scenario.people["office"],
            )


def open_day(scenario: Scenario, on: date) -> None:
    """Open a pickup day at dawn and book those whose place in the plan falls in its week."""
    window_count = 4 if scenario.size.orders < 500 else 12
    starts = [time(5 + step // 2, 30 * (step % 2)) for step in range(window_count)]
    ends = [*starts[1:], time(5 + window_count // 2, 30 * (window_count % 2))]
    day = pickups.open_pickup_day(
        season_id=scenario.season.pk,
        yard_id=scenario.found["yards"][0].pk,
        on=on,
        windows=[pickups.WindowDraft(start, end, 8) for start, end in zip(starts, ends, strict=True)],
        actor=scenario.people["office"],
    )
    scenario.found.setdefault("days", {})[on] = day
    book_week(scenario, day)


def book_week(scenario: Scenario, day: PickupDay) -> None:
    """Book those whose place falls in the day's week, one car a place, until the windows are full."""
    windows = [window for window in day.windows.order_by("starts_at") for _place in range(window.places)]
    wanted: dict[int, dict[int, int]] = defaultdict(dict)
    places = scenario.found["plan"].places.filter(
        week=Week.of(day.on).monday,
        quantity__gt=0,
        line__state__in=[Line.State.PROMISED, Line.State.PART_COLLECTED],
    )
    for place in places.select_related("line").order_by("id"):
        if not Booking.objects.filter(order_id=place.line.order_id, state=Booking.State.BOOKED).exists():
            lines = wanted[place.line.order_id]
            lines[place.line_id] = min(lines.get(place.line_id, 0) + place.quantity, place.line.outstanding)
    for window, (order_id, quantities) in zip(windows, wanted.items(), strict=False):
        pickups.book(order_id=order_id, window_id=window.pk, quantities=quantities, actor=scenario.people["office"])


def hand_over_day(scenario: Scenario, on: date) -> None:
    bookings = Booking.objects.filter(window__day=scenario.found["days"][on], state=Booking.State.BOOKED)
    for booking in bookings.select_related("order__buyer", "window").order_by("window__starts_at", "id"):
        chosen = choose_nucs(scenario, booking, on)
        if not chosen or scenario.dice.random() < NO_SHOW:
            pickups.miss_booking(booking_id=booking.pk, actor=scenario.people["gate"])
        else:
            hand_over(scenario, booking, chosen, on)


def choose_nucs(scenario: Scenario, booking: Booking, on: date) -> list[tuple[int, int]]:
    """The oldest ready nucs of the kind, or of one accepted instead; nothing unless all stand ready."""
    chosen: list[tuple[int, int]] = []
    for row in booking.lines.select_related("line"):
        kinds = [row.line.kind_id, *row.line.substitutes.values_list("id", flat=True)]
        ready = [nuc.pk for kind_id in kinds for nuc in nucs_ready(scenario, kind_id, on)[: row.quantity]]
        if len(ready) < row.quantity:
            return []
        chosen += [(nuc_id, row.line_id) for nuc_id in ready[: row.quantity]]
    return chosen


def nucs_ready(scenario: Scenario, kind_id: int, on: date) -> list[Nuc]:
    rows = nuc_queries.ready_nucs(scenario.season.pk, kind_id=kind_id, on=on)
    return list(rows.filter(bindings__isnull=True)[:400])


def hand_over(scenario: Scenario, booking: Booking, chosen: list[tuple[int, int]], on: date) -> None:
    dice, order = scenario.dice, booking.order
    quantities: dict[int, int] = defaultdict(int)
    for _nuc, line_id in chosen:
        quantities[line_id] += 1
    owed = pickup_queries.expected({order.pk: quantities}, on)[order.pk].due_cents
    # A wholesale buyer pays on the invoice; others pay at the gate.
    paid = 0 if order.buyer.tier == "wholesale" else owed
    pickups.hand_over(
        once_key=UUID(int=dice.getrandbits(128), version=4),
        order_id=order.pk,
        booking_id=booking.pk,
        nucs=chosen,
        taken_by_name=order.buyer.name,
        payment_cents=paid,
        method=dice.choice(("cash", "card", "transfer")),
        at=scenario.at(on, booking.window.starts_at.hour, booking.window.starts_at.minute),
        actor=scenario.people["gate"],
    )
