"""Which column of a file is which of ours."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from .faults import Unreadable, gettext_noop
from .grid import MOST_ROWS, Grid, Line
from .kinds import Kind, plain

HEAD_WITHIN = 20  # lines; titles may stand above the head


@dataclass(frozen=True, slots=True)
class Column:
    """One of our columns: its head in files we write, what it takes, and other heads it goes by."""

    name: str
    head: str
    kind: Kind
    is_needed: bool = False
    also: tuple[str, ...] = ()
    help: str = ""


@dataclass(frozen=True, slots=True)
class Table:
    """The lines of a grid below its head."""

    heads: tuple[str, ...]
    lines: tuple[Line, ...]
    head_line: int


def key_of(head: str) -> str:
    """A head without what people vary: capitals, blanks, marks."""
    return "".join(letter for letter in head.casefold() if letter.isalnum() or letter == "°")


def likeness(grid: Grid, columns: Sequence[Column]) -> int:
    """How many of our columns the best line near the top names."""
    return max((_named(line, columns) for line in grid.lines[:HEAD_WITHIN]), default=0)


def table_of(grid: Grid, columns: Sequence[Column]) -> Table:
    """The lines below the head: the line near the top that names most of our columns, else the first one.

    Raises Unreadable when nothing stands there, or too much.
    """
    top = grid.lines[:HEAD_WITHIN]
    if not top:
        raise Unreadable(gettext_noop("The file is empty. Choose the one with your rows."))
    place = max(range(len(top)), key=lambda one: (_named(top[one], columns), -one))
    lines = grid.lines[place + 1 :]
    if not lines:
        raise Unreadable(gettext_noop("There is a head but no row below it. Fill in some rows, and give it again."))
    if len(lines) > MOST_ROWS:
        raise Unreadable(
            gettext_noop("The file holds more than %(most)s rows. Cut it into smaller files."), most=MOST_ROWS
        )
    _refuse_merged(grid, lines)
    return Table(tuple(plain(cell) for cell in top[place].cells), lines, top[place].number)


def guessed(heads: Sequence[str], columns: Sequence[Column], remembered: Mapping[str, str]) -> dict[str, str]:
    """Our column -> the head of the file it is likely found under: as last time, else by its own or another name."""
    free = {head for head in heads if head and heads.count(head) == 1}
    found: dict[str, str] = {}
    for column in columns:
        if (head := remembered.get(column.name, "")) in free:
            found[column.name] = head
            free.discard(head)
    keys = {key_of(head): head for head in sorted(free)}
    for column in columns:
        for name in (column.head, column.name, *column.also):
            if column.name not in found and (head := keys.get(key_of(name), "")) in free:
                found[column.name] = head
                free.discard(head)
    return found


def _named(line: Line, columns: Sequence[Column]) -> int:
    known = {key_of(name) for column in columns for name in (column.head, column.name, *column.also)}
    return len(known & {key_of(cell) for cell in line.cells if isinstance(cell, str)})


def _refuse_merged(grid: Grid, lines: Sequence[Line]) -> None:
    """Titles may be merged; below the head a merged cell leaves others empty that are not meant so."""
    below = {line.number for line in lines}
    for reference in grid.merged:
        rows = ["".join(letter for letter in corner if letter.isdigit()) for corner in reference.split(":")]
        if any(number in below for number in range(int(rows[0] or 1), min(int(rows[-1] or 1), 10**6) + 1)):
            raise Unreadable(
                gettext_noop(
                    "The cells %(cells)s are merged, so that some have no value of their own. Take the merging off, "
                    "fill each cell, and give the file again."
                ),
                cells=reference,
            )
