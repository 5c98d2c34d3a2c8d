"""The rule: pins first, then the lines by priority, each to the best option that leaves all before it their place.

A place is a week, a kind and a quantity; which supply stands behind it is settled last. An option is open when the
supply alive in its week covers it together with every place already given. Best first, so that no line goes later than
it was told while a line after it holds something it could have used:

1. the week it was told; own kind, then the substitutes it accepts;
2. a week before that one, and only then a week after it;
3. in 2, or when nothing was told: own kind before substitutes, then the week nearest to the one told (or the earliest).

A line travels whole, in one week and kind, or gets nothing. Where part loads were agreed it takes what each option
still has until it is full; under 3 the nearer week then goes before the kind, so that a line next told the week of its
first take keeps every part.
"""

from collections import Counter
from collections.abc import Iterable
from datetime import date, timedelta
from typing import Any, NamedTuple

from apiary_ops.allocation.compute import reasons
from apiary_ops.allocation.compute.rows import Demand, Outcome, Pin, Plan, Supply, Take
from apiary_ops.allocation.compute.sharing import Place, Pool, bind, draw, draw_whole, room
from apiary_ops.kernel.weeks import weeks_between


class Option(NamedTuple):
    """A week and kind that a line accepts, and the place it would draw from."""

    week: date
    kind: str
    place: Place


class Grant(NamedTuple):
    """What a line is given of each option, and why."""

    parts: list[tuple[Option, int]]
    reason: str


def allocate(demands: Iterable[Demand], supplies: Iterable[Supply], pins: Iterable[Pin] = ()) -> Plan:
    """Share the supplies out among the lines by the rule above; the order of the arguments changes nothing.

    A pin gives a line its whole quantity, also where part loads were agreed; a line whose pin is refused is served in
    its turn. Raises ValueError when two lines, or two supplies, have the same key.
    """
    lines, supplies = sorted(demands, key=lambda line: line.priority), list(supplies)
    _refuse_repeats("lines", (line.key for line in lines))
    _refuse_repeats("supplies", (supply.key for supply in supplies))
    pool = Pool(supplies)
    grants, refused = _serve_pins(lines, pins, pool)
    for line in lines:
        if line.key not in grants:
            grants[line.key] = _serve(line, pool)
    return Plan(tuple(_outcome(line, grants[line.key]) for line in lines), tuple(refused))


def _refuse_repeats(what: str, keys: Iterable[str]) -> None:
    repeated = sorted(key for key, times in Counter(keys).items() if times > 1)
    if repeated:
        raise ValueError(f"Two {what} have the key {repeated[0]}; give each its own.")


def _serve_pins(lines: list[Demand], pins: Iterable[Pin], pool: Pool) -> tuple[dict[str, Grant], list[tuple[Pin, str]]]:
    """Serve the pinned lines by priority; the pins that cannot be kept come back with the reason."""
    grants: dict[str, Grant] = {}
    refused: list[tuple[Pin, str]] = []
    waiting: dict[str, list[Pin]] = {}
    for pin in sorted(pins, key=lambda pin: (pin.demand_key, pin.week, pin.kind)):
        waiting.setdefault(pin.demand_key, []).append(pin)
    for line in lines:
        for pin in waiting.pop(line.key, ()):
            if line.key in grants:
                refused.append((pin, reasons.pin_repeated(grants[line.key].parts[0][0].week)))
                continue
            place = pool.place(pin.kind, line.yard, pin.week)
            refusal = _refusal(line, pin, place)
            if refusal:
                refused.append((pin, refusal))
            else:
                part = (Option(pin.week, pin.kind, place), line.quantity)
                grants[line.key] = Grant([part], reasons.pinned(line, pin))
    refused += [(pin, reasons.pin_without_line()) for strays in waiting.values() for pin in strays]
    return grants, refused


def _refusal(line: Demand, pin: Pin, place: Place) -> str:
    """Why the pin cannot be kept; empty when it can, and then the place is drawn."""
    if pin.kind not in line.kinds:
        return reasons.pin_of_other_kind(line, pin)
    if not line.earliest_week <= pin.week <= line.latest_week:
        return reasons.pin_outside_weeks(line)
    if not draw_whole(place, line.quantity):
        room(place)
        return reasons.pin_uncovered(line, pin, place)
    return ""


def _serve(line: Demand, pool: Pool) -> Grant:
    options = _options(line, pool)
    return _serve_in_parts(line, options) if line.part_loads else _serve_whole(line, options)


def _options(line: Demand, pool: Pool) -> list[Option]:
    """Every week and kind that the line accepts, best first."""
    weeks = [week.monday for week in weeks_between(line.earliest_week, line.latest_week + timedelta(days=1))]
    choices = [(week, rank) for week in weeks for rank in range(len(line.kinds))]
    choices.sort(key=lambda choice: _standing(line, *choice))
    return [Option(week, line.kinds[rank], pool.place(line.kinds[rank], line.yard, week)) for week, rank in choices]


def _standing(line: Demand, week: date, rank: int) -> tuple[Any, ...]:
    """Sorts the options of a line, best first; `rank` is the place of the kind among those it accepts."""
    told = line.told_week
    moved, late = (week != told, week > told) if told else (False, False)
    apart = abs(week - (told or line.earliest_week))
    return (moved, late, apart, rank) if line.part_loads else (moved, late, rank, apart)


def _serve_whole(line: Demand, options: list[Option]) -> Grant:
    told: Place | None = None
    for week, kind, place in options:
        if draw_whole(place, line.quantity):
            return Grant([(Option(week, kind, place), line.quantity)], reasons.given(line, week, kind, told))
        if week == line.told_week:
            told = _fuller(told, place)
    best: Place | None = None
    for option in options:
        best = _fuller(best, option.place)
    return Grant([], reasons.short_of_whole(line, best))


def _serve_in_parts(line: Demand, options: list[Option]) -> Grant:
    parts: list[tuple[Option, int]] = []
    told: Place | None = None
    missing = line.quantity
    for option in options:
        given = draw(option.place, missing)
        if given:
            parts.append((option, given))
            missing -= given
        elif option.week == line.told_week:
            told = _fuller(told, option.place)
        if not missing:
            break
    if missing:
        return Grant(parts, reasons.short_of_parts(line, missing))
    if len(parts) > 1:
        return Grant(parts, reasons.given_in_parts(len(parts), min(option.week for option, _ in parts)))
    return Grant(parts, reasons.given(line, parts[0][0].week, parts[0][0].kind, told))


def _fuller(best: Place | None, place: Place) -> Place:
    """The place with more room, made exact; the first when they are equal."""
    if best is not None and place.room <= best.room:
        return best
    room(place)
    return place if best is None or place.room > best.room else best


def _outcome(line: Demand, grant: Grant) -> Outcome:
    takes = tuple(
        Take(option.week, option.kind, supply.key, count)
        for option, quantity in grant.parts
        for supply, count in bind(option.place, quantity)
    )
    short = line.quantity - sum(quantity for _, quantity in grant.parts)
    return Outcome(line.key, takes, line.quantity, short, grant.reason)
