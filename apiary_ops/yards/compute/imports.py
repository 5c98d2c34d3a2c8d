"""What refuses colonies and looks that come from a file: every rule of the yard, judged for all rows at once."""

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from apiary_ops.sheets.compute import Fault, Row, Saying, gettext_noop

LIVE = "live"
COUNTS = ("below_halves", "above_halves", "sealed_halves")
SEEN = (
    "lower_box",
    "queen",
    "patty",
    "cells",
    "heft",
    "note",
    "flying",
    "suspect_disease",
    "strips_pulled",
    "lower_box_off",
    "patty_given",
    "broken_frame",
)


@dataclass(frozen=True, slots=True)
class Place:
    """A yard that a file may name, and which positions live colonies hold there."""

    pk: int
    code: str
    is_active: bool
    taken: Mapping[int, str] = field(default_factory=dict)  # position -> tag


@dataclass(frozen=True, slots=True)
class Known:
    """A colony that a look in a file may be of."""

    pk: int
    yard_id: int
    yard: str
    started_on: date
    ended_on: date | None
    looked_on: Collection[date] = ()


@dataclass(frozen=True, slots=True)
class PlacedColony:
    """A row that may stand: where, and at which position."""

    row: Row
    yard_id: int
    position: int


@dataclass(frozen=True, slots=True)
class PlacedLook:
    """A row that may stand: of which colony, in which season."""

    row: Row
    colony: Known
    season_id: int
    observed_by_id: int | None


def _fault(row: Row, column: str, words: str, /, **facts: Any) -> Fault:
    said = row.values.get(column)
    return Fault(row.line, column, Saying(words, facts), "" if said is None else str(said))


def place_colonies(
    rows: Sequence[Row], places: Mapping[str, Sequence[Place]], tags: Collection[str]
) -> tuple[list[PlacedColony], list[Fault]]:
    """Where each new colony will stand; one without a position follows the last of its yard, in the file's order.

    `places` are yards by code and by name in small letters, `tags` all that are in use.
    """
    faults = [*_repeated(rows, "tag"), *(fault for row in rows for fault in _colony_faults(row, places, tags))]
    wrong = {fault.line for fault in faults}
    standing = [row for row in rows if row.line not in wrong and not row.spoiled]
    yards = {row.line: places[_key(row)][0] for row in standing}
    taken = {place.pk: dict(place.taken) for place in yards.values()}
    positions: dict[int, int] = {}
    for row in standing:
        position, others = row.values["position"], taken[yards[row.line].pk]
        if position is None:
            continue
        if _is_live(row) and position in others:
            words = gettext_noop("%(other)s already stands at this position of %(yard)s. Choose another.")
            faults.append(_fault(row, "position", words, other=others[position], yard=row.values["yard"]))
        elif _is_live(row):
            others[position] = row.values["tag"]
        positions[row.line] = position
    for row in standing:
        if row.line not in positions:
            others = taken[yards[row.line].pk]
            positions[row.line] = max(others, default=0) + 1
            others[positions[row.line]] = row.values["tag"]
    placed = [PlacedColony(row, yards[row.line].pk, positions[row.line]) for row in standing]
    return placed, faults


def _key(row: Row) -> str:
    return str(row.values["yard"]).casefold()


def _is_live(row: Row) -> bool:
    return row.values["state"] in (None, LIVE)


def _colony_faults(row: Row, places: Mapping[str, Sequence[Place]], tags: Collection[str]) -> Iterator[Fault]:
    values = row.values
    if values["tag"] in tags:
        yield _fault(row, "tag", gettext_noop("This tag is already used. Each colony has its own; choose another."))
    named = places.get(_key(row), ())
    if values["yard"] is None:
        pass
    elif not named:
        yield _fault(row, "yard", gettext_noop("No yard has this code or name. Add the yard first, or mend the word."))
    elif len(named) > 1:
        yield _fault(row, "yard", gettext_noop("More than one yard has this name. Write its code."))
    elif not named[0].is_active and _is_live(row):
        yield _fault(row, "yard", gettext_noop("This yard is not in use. Put it back into use first."))
    if "state" in row.spoiled:
        pass
    elif _is_live(row):
        for column in ("ended_on", "loss_cause"):
            if values[column] is not None:
                yield _fault(row, column, gettext_noop("Say under State what became of it, or leave this empty."))
    elif values["ended_on"] is None:
        yield _fault(row, "ended_on", gettext_noop("A colony that ended needs the day."))
    elif values["started_on"] and values["ended_on"] < values["started_on"]:
        yield _fault(row, "ended_on", gettext_noop("It cannot have ended before it started."))
    elif not values["loss_cause"]:
        yield _fault(row, "loss_cause", gettext_noop("Say why it ended: the cause of the loss, or where it went."))
    first, last = values["purpose_from"], values["purpose_until"]
    if first and last and last < first:
        yield _fault(row, "purpose_until", gettext_noop("The last day cannot come before the first."))


def place_looks(
    rows: Sequence[Row],
    colonies: Mapping[str, Known],
    places: Mapping[str, Sequence[Place]],
    seasons: Sequence[tuple[int, date, date]],
    people: Mapping[str, int],
) -> tuple[list[PlacedLook], list[Fault]]:
    """The colony and the season of each look.

    `colonies` by tag; `seasons` as pk, first day, day after the last; `people` by user name and by name in small
    letters, where only one has it.
    """
    faults = list(_repeated(rows, "tag", "on"))
    placed = []
    for row in rows:
        colony = colonies.get(row.values["tag"])
        day = row.values["on"]
        season = next((pk for pk, starts_on, ends_before in seasons if day and starts_on <= day < ends_before), None)
        who = row.values["observed_by"]
        found = list(_look_faults(row, colony, places))
        if day and season is None:
            found.append(_fault(row, "on", gettext_noop("No season holds this day. Add the season first.")))
        if who and who.casefold() not in people:
            found.append(_fault(row, "observed_by", gettext_noop("Nobody of this name signs in here.")))
        faults += found
        if colony is not None and season is not None and not found and not row.spoiled:
            placed.append(PlacedLook(row, colony, season, people[who.casefold()] if who else None))
    wrong = {fault.line for fault in faults}
    return [look for look in placed if look.row.line not in wrong], faults


def _look_faults(row: Row, colony: Known | None, places: Mapping[str, Sequence[Place]]) -> Iterator[Fault]:
    values, day = row.values, row.values["on"]
    if colony is None:
        if values["tag"]:
            yield _fault(row, "tag", gettext_noop("No colony has this tag. Add the colony first, or mend the tag."))
        return
    if values["yard"] and colony.yard_id not in [place.pk for place in places.get(_key(row), ())]:
        words = gettext_noop("%(tag)s stands in %(yard)s. Leave the yard empty, or mend the tag.")
        yield _fault(row, "yard", words, tag=values["tag"], yard=colony.yard)
    if day and day < colony.started_on:
        words = gettext_noop("%(tag)s started on %(day)s, after this look.")
        yield _fault(row, "on", words, tag=values["tag"], day=colony.started_on)
    if day and colony.ended_on and colony.ended_on < day:
        words = gettext_noop("%(tag)s ended on %(day)s, before this look.")
        yield _fault(row, "on", words, tag=values["tag"], day=colony.ended_on)
    if day in colony.looked_on:
        words = gettext_noop("%(tag)s was already looked at that day. Correct that look instead.")
        yield _fault(row, "on", words, tag=values["tag"])
    if values["degrees_c"] is not None and values["degrees_f"] is not None:
        yield _fault(row, "degrees_f", gettext_noop("Give the temperature once, in °C or in °F."))
    if not row.spoiled and all(values[name] is None for name in COUNTS) and not any(values[name] for name in SEEN):
        yield _fault(row, "", gettext_noop("Nothing was noted of this colony. Leave the row out."))


def _repeated(rows: Sequence[Row], *columns: str) -> Iterator[Fault]:
    """Rows that name again what an earlier row named."""
    first: dict[tuple[Any, ...], int] = {}
    for row in rows:
        key = tuple(row.values[column] for column in columns)
        if None in key:
            continue
        if key in first:
            words = gettext_noop("This is already said in line %(line)s. Each may stand once.")
            yield _fault(row, columns[0], words, line=first[key])
        first.setdefault(key, row.line)
