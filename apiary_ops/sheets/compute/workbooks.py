"""Spreadsheets in Office Open XML (.xlsx, ECMA-376): weighed before they are opened, then read cell by cell."""

import re
import warnings
import zlib
from collections.abc import Callable, Iterator, Sequence
from datetime import date, datetime
from decimal import Decimal
from io import BytesIO
from typing import Any
from xml.etree import ElementTree
from zipfile import BadZipFile, ZipFile

from openpyxl import load_workbook

from apiary_ops.kernel.formulas import unquoted

from .faults import Saying, Unreadable, gettext_noop
from .grid import MOST_COLUMNS, MOST_ROWS, Cell, Grid, Line, Spoiled, filled

MOST_INFLATED = 50_000_000  # bytes; 20,000 rows of 20 written cells come to half of it
MOST_TAGS = 3_000_000  # in all; the same rows come to 2.5 million, and each takes a few microseconds
MOST_TAGS_AT_ONCE = 200_000  # in one row, one text or one small part, which is held in memory as a whole
MOST_RATIO = 150  # a sheet of repeated words comes to about 30
MOST_PARTS = 500
LAST_ROW = 1_048_576  # the standard's own limit
SHEETS = "{http://schemas.openxmlformats.org/spreadsheetml/2006/main}"
RELATIONS = "{http://schemas.openxmlformats.org/package/2006/relationships}"
ENDS = re.compile(rb"</(?:\w+:)?(?:row|si)>")
RELATION_ID = "{http://schemas.openxmlformats.org/officeDocument/2006/relationships}id"
NOT_A_SPREADSHEET = gettext_noop(
    "This spreadsheet cannot be read. Save it anew as .xlsx, or as CSV, and give it again."
)
FAR_TOO_LARGE = gettext_noop(
    "Unpacked, this spreadsheet is far larger than a list of %(most)s rows could be. Copy the rows into a new sheet, "
    "save that and give it again."
)
MERGED = re.compile(rb'<(?:\w+:)?mergeCell\b[^>]*?\bref="([A-Z0-9:$]+)"')
FORMULA = gettext_noop("This is a formula. Put its result here: copy the cells and paste them as values.")
SPOILED = gettext_noop("The spreadsheet could not work this cell out. Put a value here.")


def read_workbook(content: bytes, sheet: str, prefers: Callable[[Grid], int]) -> Grid:
    """One sheet of a workbook: the one named, else the visible one that `prefers` rates highest. Raises Unreadable.

    Nothing is worked out and nothing outside the file is followed; macros are refused unread.
    """
    merged = _weighed(content)
    # The reader warns of features it leaves out; none of them holds values.
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        try:
            book = load_workbook(BytesIO(content), read_only=True, keep_links=False)
            pages = [page for page in book.worksheets if page.sheet_state == "visible"] or book.worksheets
            names = tuple(page.title for page in pages)
            wanted = [page for page in pages if page.title == sheet] or pages
            grids = [_grid(page, names, merged.get(page.title, ())) for page in wanted]
        except Unreadable:
            raise
        except Exception as trouble:  # whatever a broken file makes the reader stumble over
            raise Unreadable(NOT_A_SPREADSHEET) from trouble
    if not grids:
        raise Unreadable(NOT_A_SPREADSHEET)
    return max(grids, key=prefers)


def _weighed(content: bytes) -> dict[str, tuple[str, ...]]:
    """The merged cells of each sheet, once every part was found small, plain and whole. Raises Unreadable."""
    try:
        with ZipFile(BytesIO(content)) as archive:
            _refuse_bombs(archive)
            parts = {info.filename: archive.read(info) for info in archive.infolist() if not info.is_dir()}
    except (BadZipFile, zlib.error, EOFError, NotImplementedError, RuntimeError, OSError) as trouble:
        raise Unreadable(NOT_A_SPREADSHEET) from trouble
    names = {name.lower() for name in parts}
    if any(name.endswith("vbaproject.bin") for name in names):
        raise Unreadable(gettext_noop("This workbook holds macros. Save it as .xlsx, without them, and give it again."))
    if "xl/workbook.xml" not in parts:
        raise Unreadable(gettext_noop("This is not an .xlsx workbook. Save it as .xlsx or as CSV, and give it again."))
    _refuse_tangles([part for name, part in parts.items() if name.lower().endswith((".xml", ".rels"))])
    try:
        return dict(_merged_by_sheet(parts))
    except (ElementTree.ParseError, KeyError, AttributeError) as trouble:
        raise Unreadable(NOT_A_SPREADSHEET) from trouble


def _refuse_bombs(archive: ZipFile) -> None:
    """Judge by the sizes the archive states: its reader never inflates a part beyond them."""
    parts = archive.infolist()
    inflated = sum(part.file_size for part in parts)
    packed = sum(part.compress_size for part in parts) or 1
    if len(parts) > MOST_PARTS or inflated > MOST_INFLATED or (inflated > 1_000_000 and inflated / packed > MOST_RATIO):
        raise Unreadable(FAR_TOO_LARGE, most=MOST_ROWS)


def _refuse_tangles(parts: Sequence[bytes]) -> None:
    """Entities make a small file endless, and one endless row fills the memory; no spreadsheet needs either."""
    if any(b"<!DOCTYPE" in part or b"<!ENTITY" in part or b"\0" in part for part in parts):
        raise Unreadable(NOT_A_SPREADSHEET)
    if sum(part.count(b"<") for part in parts) > MOST_TAGS:
        raise Unreadable(FAR_TOO_LARGE, most=MOST_ROWS)
    if any(piece.count(b"<") > MOST_TAGS_AT_ONCE for part in parts for piece in ENDS.split(part)):
        raise Unreadable(NOT_A_SPREADSHEET)


def _merged_by_sheet(parts: dict[str, bytes]) -> Iterator[tuple[str, tuple[str, ...]]]:
    targets = {
        relation.get("Id"): str(relation.get("Target", ""))
        for relation in ElementTree.fromstring(parts["xl/_rels/workbook.xml.rels"]).iter(f"{RELATIONS}Relationship")
    }
    for sheet in ElementTree.fromstring(parts["xl/workbook.xml"]).iter(f"{SHEETS}sheet"):
        target = targets[sheet.get(RELATION_ID)]
        path = target.lstrip("/") if target.startswith("/") else f"xl/{target}"
        found = MERGED.findall(parts.get(path, b""))
        yield str(sheet.get("name")), tuple(reference.decode("ascii").replace("$", "") for reference in found)


def _grid(page: Any, names: tuple[str, ...], merged: tuple[str, ...]) -> Grid:
    lines = tuple(_lines(page))
    notes = [Saying(gettext_noop("Read from the sheet “%(sheet)s”."), {"sheet": page.title})]
    if len(names) > 1:
        notes = [
            Saying(
                gettext_noop("Read from the sheet “%(sheet)s”; the file has %(count)s sheets."),
                {"sheet": page.title, "count": len(names)},
            )
        ]
    return Grid(lines, tuple(notes), page.title, names, merged)


def _lines(page: Any) -> Iterator[Line]:
    page.reset_dimensions()  # what a file states of its own size may be wrong
    empty = None
    found = 0
    for number, row in enumerate(page.iter_rows(max_col=MOST_COLUMNS), start=1):
        if number > LAST_ROW:
            raise Unreadable(NOT_A_SPREADSHEET)
        if row is empty:  # the reader gives one and the same row for each that is missing
            continue
        line = filled(number, [_cell(cell) for cell in row])
        if line is None:
            empty = row
            continue
        found += 1
        if found > MOST_ROWS + 30:
            raise Unreadable(
                gettext_noop("The sheet “%(sheet)s” holds more than %(most)s rows. Cut it into smaller files."),
                sheet=page.title,
                most=MOST_ROWS,
            )
        yield line


def _cell(cell: Any) -> Cell:
    value = cell.value
    if value is None:
        return ""
    if cell.data_type == "f":
        return Spoiled(str(value), Saying(FORMULA))
    if cell.data_type == "e":
        return Spoiled(str(value), Saying(SPOILED))
    if isinstance(value, str):
        return unquoted(value.strip())
    if isinstance(value, bool):
        return value
    if isinstance(value, int | float):
        return Decimal(str(value))
    if isinstance(value, datetime):
        return value.date()
    return value if isinstance(value, date) else str(value)
