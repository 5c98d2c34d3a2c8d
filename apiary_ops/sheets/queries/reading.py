"""What a file given to import says, and everything that is wrong with it at once."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from functools import partial
from typing import Any

from django.utils.dates import MONTHS, MONTHS_3, MONTHS_ALT
from django.utils.translation import gettext as _

from apiary_ops.business import queries as business
from apiary_ops.core.days import spoken_day
from apiary_ops.sheets import compute
from apiary_ops.sheets.compute import Column, Fault, Row, Saying
from apiary_ops.sheets.models import ImportRun
from apiary_ops.sheets.registry import Importer


@dataclass(frozen=True, slots=True)
class FaultRow:
    """What is wrong in one place of a file, in the reader's words."""

    line: int
    column: str
    said: str
    wrong: str


@dataclass(frozen=True, slots=True)
class Reading:
    """A file as it would be imported now."""

    columns: Sequence[Column]
    heads: Sequence[str]
    sheet: str
    sheets: Sequence[str]
    notes: Sequence[str]  # what was taken for granted in reading it
    missing: Sequence[str]  # heads of needed columns that no column of the file was chosen for
    left_out: Sequence[str]  # heads of the file that no column of ours was chosen for
    rows: Sequence[Row]
    faults: Sequence[FaultRow]
    outcome: Sequence[str]
    lines: int

    @property
    def is_ready(self) -> bool:
        return not (self.missing or self.faults)


def said(saying: Saying) -> str:
    """A saying in the reader's language."""
    facts = {name: _fact(fact) for name, fact in saying.facts.items()}
    return _(saying.words) % facts if facts else _(saying.words)


def _fact(fact: Any) -> Any:
    if isinstance(fact, Saying):
        return said(fact)
    return spoken_day(fact) if isinstance(fact, date) else fact


def columns_of(importer: Importer) -> Sequence[Column]:
    """The columns of a kind, in the business's own units."""
    return importer.columns(business.business().temperature_unit)


def records_of(importer: Importer) -> Iterable[Mapping[str, Any]]:
    """Every record of a kind, by the same columns."""
    return importer.records(business.business().temperature_unit)


def reading_of(run: ImportRun, importer: Importer, today: date) -> Reading:
    """Read a run's file by the columns chosen for it. Raises compute.Unreadable."""
    columns = columns_of(importer)
    grid = compute.read_grid(bytes(run.content), columns, run.sheet)
    table = compute.table_of(grid, columns)
    chosen = {name: head for name, head in run.columns.items() if head in table.heads}
    missing = [column.head for column in columns if column.is_needed and column.name not in chosen]
    rows: list[Row] = []
    faults: list[Fault] = []
    outcome: Sequence[str] = ()
    if not missing:
        rows, faults = compute.read_rows(table, columns, chosen, _ways(run, today))
        checked = importer.check(rows, today)
        unread = {(fault.line, fault.column) for fault in faults}
        faults += [fault for fault in checked.faults if (fault.line, fault.column) not in unread]
        outcome = checked.outcome
    notes = [said(note) for note in grid.notes]
    if table.head_line > 1:
        notes.append(_("The heads stand in line %(line)s.") % {"line": table.head_line})
    order = {column.name: place for place, column in enumerate(columns)}
    faults.sort(key=lambda fault: (fault.line, order.get(fault.column, -1)))
    return Reading(
        columns=columns,
        heads=table.heads,
        sheet=grid.sheet,
        sheets=grid.sheets,
        notes=notes,
        missing=missing,
        left_out=[head for head in table.heads if head and head not in chosen.values()],
        rows=[row for row in rows if not row.spoiled],
        faults=list(map(partial(_worded, {column.name: column.head for column in columns}), faults)),
        outcome=outcome,
        lines=len(table.lines),
    )


def _ways(run: ImportRun, today: date) -> compute.Ways:
    """Days in numbers as the run says; months by their names in English and in the reader's language."""
    months: dict[str, int] = {}
    for number in range(1, 13):
        named = date(2000, number, 1)
        names = [f"{named:%B}", f"{named:%b}", MONTHS[number], MONTHS_3[number], MONTHS_ALT[number]]
        months |= {str(name).casefold().rstrip("."): number for name in names}
    order: dict[str, compute.DayOrder] = {"day": "day", "month": "month"}
    return compute.Ways(today=today, day_order=order.get(run.day_order, ""), months=months)


def _worded(heads: dict[str, str], fault: Fault) -> FaultRow:
    return FaultRow(fault.line, heads.get(fault.column, ""), fault.said, said(fault.saying))
