"""From the bytes of a file to values, with everything that is wrong with them at once."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from .columns import Column, Table, likeness
from .days import Ways
from .faults import Fault, Refused, Saying, Unreadable, gettext_noop
from .grid import MOST_BYTES, Grid, Line, Spoiled
from .kinds import plain
from .text_files import read_text_file
from .workbooks import read_workbook

OLD_WORKBOOK = b"\xd0\xcf\x11\xe0"  # compound file: [MS-CFB] 2.2
LONGEST_SAID = 60


@dataclass(frozen=True, slots=True)
class Row:
    """The values of one line by our columns; a cell left empty is None, and so is one that was `spoiled`."""

    line: int
    values: Mapping[str, Any]
    spoiled: frozenset[str] = frozenset()  # columns whose cells could not be read; "" when the whole line slipped


def read_grid(content: bytes, columns: Sequence[Column], sheet: str = "") -> Grid:
    """The cells of a CSV or .xlsx file, told apart by their first bytes and not by the name. Raises Unreadable."""
    if len(content) > MOST_BYTES:
        raise Unreadable(
            gettext_noop("The file is larger than %(most)s MB. Cut it into smaller ones."), most=MOST_BYTES // 10**6
        )
    if not content.strip():
        raise Unreadable(gettext_noop("The file is empty. Choose the one with your rows."))
    if content.startswith(OLD_WORKBOOK):
        raise Unreadable(
            gettext_noop(
                "This is an old .xls workbook, or one shut by a password. Save it as .xlsx without a password and "
                "give it again."
            )
        )
    if content.startswith(b"%PDF"):
        raise Unreadable(gettext_noop("This is a PDF. Give the rows as CSV or .xlsx."))
    if content.startswith(b"PK"):
        return read_workbook(content, sheet, lambda grid: likeness(grid, columns))
    return read_text_file(content)


def read_rows(
    table: Table, columns: Sequence[Column], mapping: Mapping[str, str], ways: Ways
) -> tuple[list[Row], list[Fault]]:
    """Every row, and what is wrong in every cell that could not be read."""
    places = {name: table.heads.index(head) for name, head in mapping.items() if head in table.heads}
    rows: list[Row] = []
    faults: list[Fault] = []
    for line in table.lines:
        wrong = _too_wide(table, line)
        values: dict[str, Any] = {}
        for column in columns:
            try:
                values[column.name] = _value(column, line, places, ways)
            except Refused as refusal:
                values[column.name] = None
                said = line.at(places[column.name]) if column.name in places else ""
                shown = said.text if isinstance(said, Spoiled) else plain(said)
                wrong.append(Fault(line.number, column.name, refusal.saying, shown[:LONGEST_SAID]))
        faults += wrong
        rows.append(Row(line.number, values, frozenset(fault.column for fault in wrong)))
    return rows, faults


def _value(column: Column, line: Line, places: Mapping[str, int], ways: Ways) -> Any:
    cell = line.at(places[column.name]) if column.name in places else ""
    if isinstance(cell, Spoiled):
        raise Refused(cell.saying.words, **cell.saying.facts)
    if isinstance(cell, str) and not cell:
        if column.is_needed:
            raise Refused(gettext_noop("This cannot be left empty."))
        return None
    return column.kind.read(cell, ways)


def _too_wide(table: Table, line: Line) -> list[Fault]:
    """A row wider than the head has slipped: its cells stand under the wrong heads."""
    if len(line.cells) <= len(table.heads):
        return []
    saying = Saying(
        gettext_noop(
            "This row has %(cells)s cells under %(heads)s heads. A cell with a comma or semicolon of its own, such as "
            "5,5, belongs in quotation marks."
        ),
        {"cells": len(line.cells), "heads": len(table.heads)},
    )
    return [Fault(line.number, "", saying)]
