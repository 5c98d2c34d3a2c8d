"""The same shape written again: what these files say reads back as it was, and none of it is a formula."""

import csv
from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date
from decimal import Decimal
from io import BytesIO, StringIO
from typing import Any

from openpyxl import Workbook
from openpyxl.cell import WriteOnlyCell
from openpyxl.cell.cell import ILLEGAL_CHARACTERS_RE
from openpyxl.styles import Font
from openpyxl.utils import get_column_letter

from apiary_ops.kernel.formulas import FORMULA_STARTS, quoted, spreadsheet_safe

from .columns import Column
from .kinds import TextKind, Written

BYTE_ORDER_MARK = "\ufeff"  # without it spreadsheets take the letters for those of another alphabet
NARROWEST, WIDEST = 11, 40  # widths of columns, in letters
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
    book = Workbook(write_only=True)
    book.properties.creator = None
    sheet = book.create_sheet(title[:31])
    sheet.freeze_panes = "A2"
    for place, column in enumerate(columns, start=1):
        dimension = sheet.column_dimensions[get_column_letter(place)]
        dimension.width = min(max(len(column.head) + 2, NARROWEST), WIDEST)
        if isinstance(column.kind, TextKind) and column.kind.longest <= LONGEST_AS_TEXT:
            dimension.number_format = AS_TEXT
    sheet.append([_head(sheet, column.head) for column in columns])
    for cells in _cells(columns, records):
        sheet.append([_cell(sheet, cell) for cell in cells])
    if notes:
        about = book.create_sheet(notes[0][:31])
        for place in range(1, 6):
            about.column_dimensions[get_column_letter(place)].width = WIDEST
        for number, words in enumerate(notes[1]):
            about.append([_cell(about, word) if number else _head(about, word) for word in words])
    file = BytesIO()
    book.save(file)
    return file.getvalue()


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


def _head(sheet: Any, text: str) -> WriteOnlyCell:
    cell = _cell(sheet, text)
    cell.font = Font(bold=True)
    return cell


def _cell(sheet: Any, value: Written) -> WriteOnlyCell:
    """A cell of its kind. Text is never a formula, not even after someone edits the cell (quotePrefix)."""
    if isinstance(value, Decimal):
        return WriteOnlyCell(sheet, value)
    if isinstance(value, date):
        cell = WriteOnlyCell(sheet, value)
        cell.number_format = "yyyy-mm-dd"
        return cell
    cell = WriteOnlyCell(sheet, ILLEGAL_CHARACTERS_RE.sub("", quoted(value)) or None)
    if value.isalnum() and value[:1].isdigit():
        cell.number_format = AS_TEXT
    if value.startswith(FORMULA_STARTS):
        cell.data_type = "s"
        cell.quotePrefix = True
    return cell
