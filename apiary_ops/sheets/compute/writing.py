"""The same shape written again: what these files say reads back as it was, and none of it is a formula."""

import csv
from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date
from io import StringIO
from typing import Any

from openpyxl import Workbook
from openpyxl.utils import get_column_letter

from apiary_ops.core import workbooks
from apiary_ops.kernel.formulas import quoted, spreadsheet_safe

from .columns import Column
from .kinds import TextKind, Written

BYTE_ORDER_MARK = "\ufeff"  # without it spreadsheets take the letters for those of another alphabet
AS_TEXT = "@"  # a number format: what is typed there stays as it was typed, 0031 with its zeros
LONGEST_AS_TEXT = 255  # letters; some spreadsheets show a longer text of that format as ##### (from memory)


def csv_bytes(columns: Sequence[Column], records: Iterable[Mapping[str, Any]]) -> bytes:
    """Records by our columns as CSV (RFC 4180) in UTF-8 with its mark."""
    file = StringIO(BYTE_ORDER_MARK, newline="")
    file.seek(0, 2)
    writer = csv.writer(file)
    writer.writerow(spreadsheet_safe(column.head) for column in columns)
    for cells in _cells(columns, records):
        writer.writerow(_text(cell) for cell in cells)
    return file.getvalue().encode("utf-8")


def xlsx_bytes(
    title: str,
    columns: Sequence[Column],
    records: Iterable[Mapping[str, Any]],
    notes: tuple[str, Sequence[Sequence[str]]] | None = None,
) -> bytes:
    """The same as an Office Open XML workbook (ECMA-376); `notes` are a second sheet's title and its rows of text."""
    book = workbooks.new_book()
    sheet = workbooks.add_table(book, title, [column.head for column in columns])
    for place, column in enumerate(columns, start=1):
        if isinstance(column.kind, TextKind) and column.kind.longest <= LONGEST_AS_TEXT:
            sheet.column_dimensions[get_column_letter(place)].number_format = AS_TEXT
    sheet.append([workbooks.head(sheet, column.head) for column in columns])
    for cells in _cells(columns, records):
        sheet.append([_cell(sheet, cell) for cell in cells])
    if notes:
        _add_notes(book, *notes)
    return workbooks.content_of(book)


def _add_notes(book: Workbook, title: str, rows: Sequence[Sequence[str]]) -> None:
    sheet = book.create_sheet(title[: workbooks.LONGEST_TITLE])
    for place in range(1, 6):
        sheet.column_dimensions[get_column_letter(place)].width = workbooks.WIDEST
    for number, words in enumerate(rows):
        sheet.append([_cell(sheet, word) if number else workbooks.head(sheet, word) for word in words])


def _cells(columns: Sequence[Column], records: Iterable[Mapping[str, Any]]) -> Iterator[list[Written]]:
    for record in records:
        values = [record.get(column.name) for column in columns]
        yield [
            "" if value is None or value == "" else column.kind.write(value)
            for column, value in zip(columns, values, strict=True)
        ]


def _text(cell: Written) -> str:
    if isinstance(cell, str):
        return spreadsheet_safe(quoted(cell))
    return cell.isoformat() if isinstance(cell, date) else f"{cell:f}"


def _cell(sheet: Any, value: Written) -> Any:
    """A cell that reads back as it was: quoted where it must be, and digits that are text marked as text."""
    if not isinstance(value, str):
        return workbooks.cell(sheet, value)
    if not value:
        return None
    cell = workbooks.cell(sheet, quoted(value))
    if value.isalnum() and value[:1].isdigit():
        cell.number_format = AS_TEXT
    return cell
