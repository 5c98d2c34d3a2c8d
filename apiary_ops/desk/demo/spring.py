"""Spring: looks, the forecast, promises, split days, queens and checks, each up to the demo's today."""

from collections.abc import Iterator
from datetime import date, timedelta
from decimal import Decimal
from math import ceil
from typing import Any

from apiary_ops.capacity import services as capacity
from apiary_ops.nucs import queries as nuc_queries
from apiary_ops.nucs import services as nucs
from apiary_ops.nucs.models import Batch, Nuc
from apiary_ops.promise import services as promise
from apiary_ops.queens import queries as queen_queries
from apiary_ops.queens import services as queens
from apiary_ops.queens.models import Lot
from apiary_ops.yards import services as yards
from apiary_ops.yards.models import Yard

from .looks import look_for_cells, look_twice, requeen, treat, visit
from .scenario import Scenario, days_between, spread

# What the queen does after her day (practice-defaults, common practice): laying by day 10, own sealed brood by 21.
LAYING_AFTER, SEALED_AFTER, READY_AFTER = timedelta(days=10), timedelta(days=21), timedelta(days=28)


def grow(scenario: Scenario) -> None:
    treat(scenario)
    look_twice(scenario)
    forecast(scenario, scenario.day(4, 19))
    promise_in_turn(scenario, scenario.day(4, 20))
    make_nucs(scenario)
    requeen(scenario)
    look_for_cells(scenario)
    check_nucs(scenario)
    forecast(scenario, min(scenario.today, scenario.day(5, 14)))
    promise_in_turn(scenario, min(scenario.today, scenario.day(5, 15)))
    leave_tasks(scenario)


def leave_tasks(scenario: Scenario) -> None:
    """A few things still to be done around the demo's today."""
    for number, (what, days) in enumerate(scenario.data["tasks"]):
        due_on = scenario.today + timedelta(days=days)
        if due_on in scenario.season:
            yards.add_task(
                season_id=scenario.season.pk,
                yard_id=scenario.found["yards"][number % len(scenario.found["yards"])].pk,
                what=what,
                due_on=due_on,
                actor=scenario.people["crew"],
            )


def forecast(scenario: Scenario, day: date) -> None:
    if scenario.past(day):
        owner = scenario.people["owner"]
        capacity.make_forecast(season_id=scenario.season.pk, today=day, actor=owner)
        promise.refresh_releases(season_id=scenario.season.pk, today=day, actor=owner)


def promise_in_turn(scenario: Scenario, day: date) -> None:
    """Those who paid first are promised first; who paid nothing is not promised yet."""
    if scenario.past(day):
        promise.promise_in_turn(season_id=scenario.season.pk, today=day, actor=scenario.people["office"])


def make_nucs(scenario: Scenario) -> None:
    """Split days from the end of April to past mid May; queens of the lot at hand go in the next day."""
    count = -(-scenario.size.nucs // scenario.size.nucs_a_day)
    days = days_between(scenario.day(4, 29), scenario.day(5, 19), count)
    lots = list(receive_lots(scenario))
    scenario.found["batches"] = []
    plan = (
        spread(scenario.size.nucs, days)
        if len(set(days)) == len(days)
        else [(day, scenario.size.nucs_a_day) for day in days]
    )
    for number, (on, size) in enumerate(scenario.steps("split days", plan)):
        if scenario.past(on):
            split(scenario, number, on, size, lots)


def receive_lots(scenario: Scenario) -> Iterator[list[Any]]:
    """Queens land on the Tuesday of their ship week; one in fifty is dead on arrival, one box is a bad one."""
    for number, (order, breeder) in enumerate(scenario.found["queen_orders"]):
        on = order.ship_week + timedelta(days=1)
        if not scenario.past(on):
            continue
        dead = round(order.queens * (0.06 if number == 1 else 0.02))
        lot = queens.receive_lot(
            order_id=order.pk,
            received_on=on,
            received=order.queens,
            dead_on_arrival=dead,
            freight_cents=breeder["freight_cents"],
            papers_cents=breeder["papers_cents"],
            reference=f"Q{order.pk:03d}",
            due_on=on + timedelta(days=30),
            actor=scenario.people["owner"],
        )
        yield [lot, lot.received - lot.dead_on_arrival]


def split(scenario: Scenario, number: int, on: date, size: int, lots: list[list[Any]]) -> None:
    yard = scenario.found["yards"][number % len(scenario.found["yards"])]
    kind = scenario.found["kinds"]["spring-5" if number % 4 else "spring-4"]
    queen_day = on + timedelta(days=1)
    lot = next((lot for lot in lots if lot[1] >= size and lot[0].received_on <= queen_day), None)
    if lot is not None:
        lot[1] -= size
    # Making one up takes 14 minutes of a person's time (practice-defaults, common practice).
    visit(scenario, yard, on, "split", minutes=14 * size // 2)
    day = nucs.plan_split_day(season_id=scenario.season.pk, yard_id=yard.pk, on=on, actor=scenario.people["crew"])
    batch = nucs.make_batch(
        split_day_id=day.pk,
        kind_id=kind.pk,
        stands_at_id=scenario.found["yards"][0].pk,
        lot_id=lot[0].pk if lot and scenario.past(queen_day) else None,
        size=size,
        made_on=on,
        queen_in_on=queen_day if lot and scenario.past(queen_day) else None,
        donations=donors(scenario, yard, kind, size),
        actor=scenario.people["crew"],
    )
    scenario.found["batches"].append(batch)


def donors(scenario: Scenario, yard: Yard, kind, size: int) -> list[nucs.DonationDraft]:  # type: ignore[no-untyped-def]
    """Frames by turns from the yard's nuc colonies until the recipe is covered, whole frames of brood."""
    colonies = [c for c in scenario.found["colonies"] if c.yard_id == yard.pk and c.purpose == "nucs"]
    brood, bees = kind.make_up_brood * size, kind.make_up_bees * size
    each_brood = Decimal(ceil(brood / len(colonies)))
    each_bees = Decimal(ceil(2 * bees / len(colonies))) / 2
    return [nucs.DonationDraft(colony.pk, each_bees, each_brood) for colony in colonies]


def check_nucs(scenario: Scenario) -> None:
    """Three checks: laying, own sealed brood, ready. What fails is requeened while queens are banked, else united."""
    checks = [
        (batch.queen_in_on + after, batch, after)
        for batch in nuc_queries.batches(scenario.season.pk)
        if batch.queen_in_on is not None
        for after in (LAYING_AFTER, SEALED_AFTER, READY_AFTER)
        if scenario.past(batch.queen_in_on + after)
    ]
    # In the order of the days, so that a banked queen goes to the nuc that fails first.
    for on, batch, after in scenario.steps("checks", sorted(checks, key=lambda check: (check[0], check[1].pk))):
        check_batch(scenario, batch, after, on)


def check_batch(scenario: Scenario, batch: Batch, after: timedelta, on: date) -> None:
    crew, dice = scenario.people["crew"], scenario.dice
    queened = nuc_queries.nucs_of_batch(batch.pk).filter(state__in=[Nuc.State.QUEENED, Nuc.State.LAYING])
    numbered = [nuc for nuc in queened if nuc.queened_on and nuc.queened_on + after <= on + timedelta(days=1)]
    # 84 to 92 in 100 introduced queens lay, a few more fail before sale (practice-defaults, common practice).
    share = {LAYING_AFTER: 0.09, SEALED_AFTER: 0.03, READY_AFTER: 0.01}[after]
    failed = [nuc.pk for nuc in numbered if dice.random() < share]
    slow = [nuc.pk for nuc in numbered if after == READY_AFTER and dice.random() < 0.12]
    drafts = [seen_in(nuc, after, failed=nuc.pk in failed, slow=nuc.pk in slow) for nuc in numbered]
    if not drafts:
        return
    visit(scenario, batch.stands_at, on, "check", minutes=2 * len(drafts))
    nucs.record_checks(on=on, drafts=drafts, actor=crew)
    for nuc_id in failed:
        lot = next((lot for lot in queens_at_hand(scenario, on)), None)
        if lot is not None:
            nucs.requeen(nuc_id=nuc_id, lot_id=lot.pk, on=on, actor=crew)
        else:
            nucs.end_nuc(nuc_id=nuc_id, state="united", on=on, cause="queen failed, no spare at hand", actor=crew)


def queens_at_hand(scenario: Scenario, on: date) -> list[Lot]:
    """Lots with queens nobody waits for, still good on that day."""
    return [lot for lot in queen_queries.banked_lots(scenario.season.pk) if lot.received_on <= on <= lot.hive_by]


def seen_in(nuc: Nuc, after: timedelta, *, failed: bool, slow: bool) -> nucs.CheckDraft:
    """What a nuc that does as it should shows at a check, less a frame and a half where it is slow."""
    covered, brood, food = {LAYING_AFTER: (5, 2, 2), SEALED_AFTER: (7, 5, 2), READY_AFTER: (9, 7, 3)}[after]
    less = 2 * (5 - nuc.kind.frames) + 3 * slow
    return nucs.CheckDraft(
        nuc_id=nuc.pk,
        queen="missing" if failed else "laying",
        covered_halves=max(4, covered - less),
        brood_halves=max(2, brood - less),
        own_sealed_brood=after != LAYING_AFTER and not failed,
        food_halves=food,
        queen_cells=False,
        disease_clear=True,
    )
