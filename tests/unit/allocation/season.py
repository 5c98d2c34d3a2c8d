"""Short ways to write a line, some nucs and a week; week 0 is the week of 3 May 2027."""

from datetime import date, timedelta

from apiary_ops.allocation.compute import Demand, Pin, Plan, Supply

Place = tuple[int, str, int]


def week(number: int) -> date:
    return date(2027, 5, 3) + timedelta(weeks=number)


def line(
    key: str,
    quantity: int,
    weeks: tuple[int, int],
    *,
    told: int | None = None,
    kinds: str = "spring",
    part_loads: bool = False,
    yard: str = "",
    turn: int | None = None,
) -> Demand:
    """A line by its first and last week; its turn is its key, unless given."""
    return Demand(
        key=key,
        kinds=tuple(kinds.split()),
        quantity=quantity,
        earliest_week=week(weeks[0]),
        latest_week=week(weeks[1]),
        told_week=None if told is None else week(told),
        priority=(turn or 0, key),
        part_loads=part_loads,
        yard=yard,
    )


def nucs(key: str, count: int, weeks: tuple[int, int], *, kind: str = "spring", yard: str = "") -> Supply:
    """A batch by the week it is ready and the week to collect it by."""
    return Supply(key, kind, yard, week(weeks[0]), week(weeks[1]), count)


def pin(key: str, number: int, kind: str = "spring") -> Pin:
    return Pin(key, week(number), kind)


def places(plan: Plan) -> dict[str, list[Place]]:
    """Week, kind and quantity by line, best first, whichever supplies stand behind them."""
    found: dict[str, list[Place]] = {}
    for outcome in plan.outcomes:
        sums: dict[tuple[int, str], int] = {}
        for take in outcome.takes:
            place = ((take.week - week(0)).days // 7, take.kind)
            sums[place] = sums.get(place, 0) + take.quantity
        found[outcome.key] = [(number, kind, quantity) for (number, kind), quantity in sums.items()]
    return found


def said(plan: Plan) -> dict[str, str]:
    """The sentence of each line."""
    return {outcome.key: outcome.reason for outcome in plan.outcomes}
