"""The properties that every plan has, on small seasons; the whole rule is also retold by trying out every sharing."""

import re
from collections import Counter
from dataclasses import replace
from functools import cache

from hypothesis import given, settings
from hypothesis import strategies as st

from apiary_ops.allocation.compute import Demand, Outcome, Pin, Plan, Supply, allocate

from .season import Place, line, nucs, pin, places, week

WEEKS = range(4)
spans = st.tuples(st.sampled_from(WEEKS), st.sampled_from(WEEKS)).map(lambda pair: (min(pair), max(pair)))
windows = spans | st.just((0, 3))
yards = st.sampled_from(["", "north", "south"])
lines = st.lists(
    st.builds(
        lambda **parts: parts,
        quantity=st.integers(1, 3),
        weeks=windows,
        told=st.none() | st.sampled_from(WEEKS),
        kinds=st.sampled_from(["spring winter", "winter spring", "spring", "winter"]),
        part_loads=st.booleans(),
        yard=yards,
        turn=st.integers(0, 2),
    ),
    min_size=1,
    max_size=6,
).map(lambda rows: [line(key, **row) for key, row in zip("abcdef", rows, strict=False)])
supplies = st.lists(
    st.builds(
        lambda **parts: parts,
        count=st.integers(1, 3),
        weeks=spans,
        kind=st.sampled_from(["spring", "winter"]),
        yard=yards,
    ),
    min_size=1,
    max_size=5,
).map(lambda rows: [nucs(key, **row) for key, row in zip("stuvw", rows, strict=False)])
pins = st.lists(
    st.builds(pin, st.sampled_from("abcdef"), st.sampled_from(WEEKS), st.sampled_from(["spring", "winter"])), max_size=3
)
thorough = settings(max_examples=100, deadline=None)


def is_good_for(supply: Supply, asked: Demand, number: int, kind: str) -> bool:
    reachable = "" in (supply.yard, asked.yard) or supply.yard == asked.yard
    return reachable and supply.kind == kind and supply.ready_week <= week(number) <= supply.collect_by_week


def kept_pins(plan: Plan, pinned: list[Pin]) -> list[Pin]:
    return list((Counter(pinned) - Counter(refusal for refusal, _ in plan.refused_pins)).elements())


@thorough
@given(lines, supplies, pins)
def test_no_nuc_goes_twice_or_before_it_is_ready_or_after_its_collect_by(asked, stood, pinned):
    plan = allocate(asked, stood, pinned)

    by_key = {supply.key: supply for supply in stood}
    taken = Counter()
    for demand, outcome in zip(sorted(asked, key=lambda row: row.priority), plan.outcomes, strict=True):
        for take in outcome.takes:
            number = (take.week - week(0)).days // 7
            assert is_good_for(by_key[take.supply_key], demand, number, take.kind)
            assert take.kind in demand.kinds
            assert demand.earliest_week <= take.week <= demand.latest_week
            assert take.quantity > 0
            taken[take.supply_key] += take.quantity
    assert all(taken[supply.key] <= supply.count for supply in stood)


@thorough
@given(lines, supplies, pins)
def test_no_line_goes_short_or_late_while_a_line_after_it_holds_what_it_could_use(asked, stood, pinned):
    plan = allocate(asked, stood, pinned)

    kept = {wish.demand_key for wish in kept_pins(plan, pinned)}
    ranked = sorted(asked, key=lambda row: row.priority)
    for turn, (demand, outcome) in enumerate(zip(ranked, plan.outcomes, strict=True)):
        if demand.key in kept:
            continue
        before = [plan.outcomes[place] for place, row in enumerate(ranked) if place < turn or row.key in kept]
        for number in weeks_it_would_rather_have(demand, outcome):
            for kind in demand.kinds:
                within_reach = free_for(demand, number, kind, stood, [*before, in_time(demand, outcome)])
                assert within_reach < (1 if demand.part_loads else demand.quantity)


def weeks_it_would_rather_have(demand: Demand, outcome: Outcome) -> list[int]:
    """All its weeks when it is short; those up to the week told when it goes later."""
    possible = [number for number in WEEKS if demand.earliest_week <= week(number) <= demand.latest_week]
    if outcome.short:
        return possible
    told = demand.told_week
    if told is None or all(take.week <= told for take in outcome.takes):
        return []
    return [number for number in possible if week(number) <= told]


def in_time(demand: Demand, outcome: Outcome) -> Outcome:
    """The outcome without what goes later than told: a line may trade that for something better."""
    told = demand.told_week
    if outcome.short or told is None:
        return outcome
    return replace(outcome, takes=tuple(take for take in outcome.takes if take.week <= told))


def free_for(demand: Demand, number: int, kind: str, stood: list[Supply], held: list[Outcome]) -> int:
    used = Counter()
    for outcome in held:
        for take in outcome.takes:
            used[take.supply_key] += take.quantity
    return sum(supply.count - used[supply.key] for supply in stood if is_good_for(supply, demand, number, kind))


@thorough
@given(lines, supplies, pins)
def test_nobody_moves_when_all_are_told_what_the_plan_gave_them(asked, stood, pinned):
    first = allocate(asked, stood, pinned)
    given_weeks = {outcome.key: outcome.takes[0].week for outcome in first.outcomes if outcome.takes}

    retold = [replace(row, told_week=given_weeks.get(row.key, row.told_week)) for row in asked]
    second = allocate(retold, stood, pinned)

    assert places(second) == places(first)
    assert second.refused_pins == first.refused_pins


@thorough
@given(lines, supplies)
def test_nobody_moves_for_a_line_after_them(asked, stood):
    ranked = sorted(asked, key=lambda row: row.priority)

    with_all, without_last = places(allocate(ranked, stood)), places(allocate(ranked[:-1], stood))

    assert {key: with_all[key] for key in without_last} == without_last


@thorough
@given(lines, supplies, pins)
def test_a_line_travels_whole_unless_part_loads_were_agreed(asked, stood, pinned):
    whole = {row.key for row in asked if not row.part_loads}

    plan = allocate(asked, stood, pinned)

    for outcome in plan.outcomes:
        if outcome.key in whole:
            assert len({(take.week, take.kind) for take in outcome.takes}) == (0 if outcome.short else 1)
            assert outcome.short in (0, outcome.quantity)


@thorough
@given(lines, supplies, pins, st.randoms(use_true_random=False))
def test_the_same_input_in_any_order_gives_the_same_plan(asked, stood, pinned, random):
    plan = allocate(asked, stood, pinned)

    for rows in (asked, stood, pinned):
        random.shuffle(rows)

    assert allocate(asked, stood, pinned) == plan


@thorough
@given(lines, supplies, pins)
def test_a_pin_is_kept_as_it_is_or_refused_with_a_reason(asked, stood, pinned):
    plan = allocate(asked, stood, pinned)

    got = places(plan)
    quantities = {row.key: row.quantity for row in asked}
    for wish in kept_pins(plan, pinned):
        number = (wish.week - week(0)).days // 7
        assert got[wish.demand_key] == [(number, wish.kind, quantities[wish.demand_key])]
    assert len(kept_pins(plan, pinned)) + len(plan.refused_pins) == len(pinned)
    assert all(re.fullmatch(r"[A-Z][^.]+\.", reason) for _, reason in plan.refused_pins)


@thorough
@given(lines, supplies, pins)
def test_every_outcome_adds_up_and_has_one_sentence(asked, stood, pinned):
    plan = allocate(asked, stood, pinned)

    assert [outcome.key for outcome in plan.outcomes] == [
        row.key for row in sorted(asked, key=lambda row: row.priority)
    ]
    for outcome in plan.outcomes:
        assert sum(take.quantity for take in outcome.takes) + outcome.short == outcome.quantity
        assert re.fullmatch(r"[A-Z][^.]+\.", outcome.reason)
        assert outcome.reason.startswith("Short of") == bool(outcome.short)


@thorough
@given(lines, supplies, pins)
def test_the_plan_is_what_trying_out_every_sharing_gives(asked, stood, pinned):
    plan = allocate(asked, stood, pinned)

    assert places(plan) == told_by_trial(asked, stood, pinned)


@thorough
@given(lines, supplies)
def test_the_count_told_to_a_short_line_is_what_stood_in_its_best_week(asked, stood):
    plan = allocate(asked, stood)

    ranked = sorted(asked, key=lambda row: row.priority)
    got = places(plan)
    for turn, (row, outcome) in enumerate(zip(ranked, plan.outcomes, strict=True)):
        if outcome.short and not row.part_loads:
            before = [(earlier, place) for earlier in ranked[:turn] for place in got[earlier.key]]
            most = max(
                size
                for number, kind in wishes_in_order(row)
                for size in range(row.quantity)
                if can_be_covered([*before, (row, (number, kind, size))], stood)
            )
            assert (f"only {most} " if most else "nothing ") in outcome.reason


def told_by_trial(asked: list[Demand], stood: list[Supply], pinned: list[Pin]) -> dict[str, list[Place]]:
    """The rule again, written from its wording: options in order, and every way of sharing tried out."""
    ranked = sorted(asked, key=lambda row: row.priority)
    result: dict[str, list[Place]] = {}
    promised: list[tuple[Demand, Place]] = []

    def take(row: Demand, number: int, kind: str, quantity: int) -> bool:
        place = (number, kind, quantity)
        if not can_be_covered([*promised, (row, place)], stood):
            return False
        promised.append((row, place))
        result.setdefault(row.key, []).append(place)
        return True

    for row in ranked:
        for wish in sorted(pinned, key=lambda wish: (wish.week, wish.kind)):
            number = (wish.week - week(0)).days // 7
            if wish.demand_key == row.key and row.key not in result and (number, wish.kind) in wishes_in_order(row):
                take(row, number, wish.kind, row.quantity)
    for row in ranked:
        if row.key in result:
            continue
        missing = row.quantity
        for number, kind in wishes_in_order(row):
            sizes = range(missing, 0, -1) if row.part_loads else [row.quantity]
            missing -= next((size for size in sizes if missing and take(row, number, kind, size)), 0)
    return {row.key: result.get(row.key, []) for row in ranked}


def wishes_in_order(row: Demand) -> list[tuple[int, str]]:
    possible = [number for number in WEEKS if row.earliest_week <= week(number) <= row.latest_week]
    told = [number for number in possible if week(number) == row.told_week]
    before = [number for number in reversed(possible) if row.told_week and week(number) < row.told_week]
    after = [number for number in possible if number not in told + before]
    order = [(number, kind) for number in told for kind in row.kinds]
    for group in (before, after):
        if row.part_loads:
            order += [(number, kind) for number in group for kind in row.kinds]
        else:
            order += [(number, kind) for kind in row.kinds for number in group]
    return order


def can_be_covered(promised: list[tuple[Demand, Place]], stood: list[Supply]) -> bool:
    """Whether every nuc promised can have one of its own, by trying every supply for each."""
    choices = [
        tuple(place for place, supply in enumerate(stood) if is_good_for(supply, row, number, kind))
        for row, (number, kind, quantity) in promised
        for _ in range(quantity)
    ]

    @cache
    def from_here(turn: int, left: tuple[int, ...]) -> bool:
        if turn == len(choices):
            return True
        return any(
            left[place] and from_here(turn + 1, (*left[:place], left[place] - 1, *left[place + 1 :]))
            for place in choices[turn]
        )

    return from_here(0, tuple(supply.count for supply in stood))
