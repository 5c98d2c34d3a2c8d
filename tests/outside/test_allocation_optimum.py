"""The allocation rule beside solvers that know nothing of it: SciPy's maximum flow and its linear programming (HiGHS).

The seasons are invented, drawn from numbered seeds, so a failure repeats.
"""

from datetime import date, timedelta
from random import Random

import numpy as np
import pytest
from scipy.optimize import linprog
from scipy.sparse import csr_array
from scipy.sparse.csgraph import maximum_flow

from apiary_ops.allocation.compute import Demand, Outcome, Supply, allocate

KINDS = ("spring", "winter")
YARDS = ("", "north", "south")
LAST_WEEK = 9
Place = tuple[Demand, date, str, int]


def week(number: int) -> date:
    return date(2027, 4, 26) + timedelta(weeks=number)


def season(seed: int, *, lines: int, one_week: bool = False, part_loads: bool | None = None) -> tuple[list, list]:
    """Lines and batches in which about a third of what is asked cannot be had."""
    random = Random(seed)
    stood = [
        Supply(
            key=f"batch {number}",
            kind=random.choice(KINDS),
            yard=random.choice(YARDS),
            ready_week=week(ready := random.randint(0, LAST_WEEK)),
            collect_by_week=week(min(LAST_WEEK, ready + random.randint(0, 2))),
            count=random.randint(1, 8),
        )
        for number in range(lines // 3)
    ]
    asked = []
    for number in range(lines):
        first = random.randint(0, LAST_WEEK)
        last = first if one_week else min(LAST_WEEK, first + random.randint(0, 4))
        asked.append(
            Demand(
                key=f"line {number}",
                kinds=tuple(random.sample(KINDS, 1 if one_week else random.randint(1, 2))),
                quantity=random.choice((1, 1, 2, 2, 3, 5)),
                earliest_week=week(first),
                latest_week=week(last),
                told_week=random.choice((None, week(random.randint(first, last)))),
                priority=(random.randint(0, 2), number),
                part_loads=random.random() < 0.2 if part_loads is None else part_loads,
                yard=random.choice(YARDS),
            )
        )
    return sorted(asked, key=lambda line: line.priority), stood


def is_good_for(supply: Supply, line: Demand, when: date, kind: str) -> bool:
    reachable = "" in (supply.yard, line.yard) or supply.yard == line.yard
    return reachable and supply.kind == kind and supply.ready_week <= when <= supply.collect_by_week


def places_of(line: Demand, outcome: Outcome) -> list[Place]:
    sums: dict[tuple[date, str], int] = {}
    for take in outcome.takes:
        sums[take.week, take.kind] = sums.get((take.week, take.kind), 0) + take.quantity
    return [(line, when, kind, quantity) for (when, kind), quantity in sums.items()]


def can_be_covered(places: list[Place], stood: list[Supply]) -> bool:
    """Whether the maximum flow from source (0) by supplies and places to sink (last) fills every place."""
    sink = len(stood) + len(places) + 1
    lanes = np.zeros((sink + 1, sink + 1), dtype=np.int32)
    for row, supply in enumerate(stood, start=1):
        lanes[0, row] = supply.count
        for column, (line, when, kind, quantity) in enumerate(places, start=len(stood) + 1):
            lanes[row, column] = quantity if is_good_for(supply, line, when, kind) else 0
            lanes[column, sink] = quantity
    asked = sum(quantity for *_, quantity in places)
    return maximum_flow(csr_array(lanes), 0, sink).flow_value == asked


def most_served(lines: list[Demand], stood: list[Supply]) -> float:
    """The most nucs that lines of one week and kind can get together, by linear programming."""
    lanes = [
        (row, column)
        for row, line in enumerate(lines)
        for column, supply in enumerate(stood)
        if is_good_for(supply, line, line.earliest_week, line.kinds[0])
    ]
    if not lanes:
        return 0
    limits = np.zeros((len(lines) + len(stood), len(lanes)))
    for lane, (row, column) in enumerate(lanes):
        limits[row, lane] = limits[len(lines) + column, lane] = 1
    bounds = [line.quantity for line in lines] + [supply.count for supply in stood]
    return -linprog(-np.ones(len(lanes)), A_ub=limits, b_ub=bounds, method="highs").fun


def better_options(line: Demand, when: date, kind: str) -> list[tuple[date, str]]:
    """What a line would have liked better, as far as every reading of the rule agrees."""
    weeks = [week(n) for n in range(LAST_WEEK + 1) if line.earliest_week <= week(n) <= line.latest_week]
    told, rank = line.told_week, line.kinds.index(kind)
    better = [(when, other) for other in line.kinds[:rank]]
    if told is None:
        return better + [(other, kind) for other in weeks if other < when]
    if when != told:
        better += [(told, other) for other in line.kinds if told in weeks]
    if when > told:
        better += [(other, kind) for other in weeks if other < when]
    return better


@pytest.mark.parametrize("seed", range(20))
def test_the_places_given_can_all_be_covered(seed):
    asked, stood = season(seed, lines=60)

    plan = allocate(asked, stood)

    places = [place for line, outcome in zip(asked, plan.outcomes, strict=True) for place in places_of(line, outcome)]
    assert len(places) > 15
    assert can_be_covered(places, stood)


@pytest.mark.parametrize("seed", range(8))
def test_what_a_line_would_have_liked_better_cannot_be_covered_beside_the_lines_before(seed):
    asked, stood = season(seed, lines=45)

    plan = allocate(asked, stood)

    before: list[Place] = []
    closed = 0
    for line, outcome in zip(asked, plan.outcomes, strict=True):
        given = places_of(line, outcome)
        if outcome.short:
            weeks = [week(n) for n in range(LAST_WEEK + 1) if line.earliest_week <= week(n) <= line.latest_week]
            wanted = [(when, kind) for when in weeks for kind in line.kinds]
        else:
            wanted = [] if line.part_loads else better_options(line, given[0][1], given[0][2])
        size = 1 if line.part_loads else line.quantity
        kept = given if line.part_loads else []
        for when, kind in wanted:
            assert not can_be_covered([*before, *kept, (line, when, kind, size)], stood)
            closed += 1
        before += given
    assert closed > 15


@pytest.mark.parametrize("seed", range(10))
def test_part_loads_in_one_week_and_kind_each_are_served_as_fully_as_can_be(seed):
    asked, stood = season(seed, lines=45, one_week=True, part_loads=True)

    plan = allocate(asked, stood)

    served = np.cumsum([outcome.quantity - outcome.short for outcome in plan.outcomes])
    assert served[-1] < sum(line.quantity for line in asked)
    for turn in range(len(asked)):
        assert served[turn] == pytest.approx(most_served(asked[: turn + 1], stood))


@pytest.mark.parametrize("seed", range(10))
def test_whole_lines_for_one_week_and_kind_are_served_while_they_fit(seed):
    random = Random(seed)
    quantities = [random.randint(1, 6) for _ in range(30)]
    here = week(3)
    stood = [Supply(f"batch {n}", "spring", "", week(n), here, random.randint(3, 12)) for n in range(4)]
    asked = [
        Demand(f"line {turn}", ("spring",), quantity, here, here, None, (turn,))
        for turn, quantity in enumerate(quantities)
    ]

    plan = allocate(asked, stood)

    left = sum(supply.count for supply in stood)
    for quantity, outcome in zip(quantities, plan.outcomes, strict=True):
        fits = quantity <= left
        assert outcome.short == (0 if fits else quantity)
        left -= quantity if fits else 0
