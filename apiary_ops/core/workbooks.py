"""Spreadsheets to save: Office Open XML workbooks (ECMA-376), whose text is never a formula.

Knows no Django, so that pure rules may use it.
"""

from collections.abc import Sequence
from datetime import date
from decimal import Decimal
from io import BytesIO
from typing import Any

from openpyxl import Workbook
from openpyxl.cell import WriteOnlyCell
from openpyxl.cell.cell import ILLEGAL_CHARACTERS_RE
from openpyxl.styles import Font
from openpyxl.utils import get_column_letter

from apiary_ops.kernel.formulas import FORMULA_STARTS

MEDIA_TYPE = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
NARROWEST, WIDEST = 11, 40  # widths of columns, in letters
DAY_FORMAT = "yyyy-mm-dd"
LONGEST_TITLE = 31  # letters a sheet's name may have


def new_book() -> Workbook:
    """An empty workbook to be written row by row; it names nobody as its maker."""
    book = Workbook(write_only=True)
    book.properties.creator = None
    return book


def add_table(book: Workbook, title: str, heads: Sequence[str]) -> Any:
    """A sheet that begins with its heads, bold and kept in sight, in columns as wide as these."""
    sheet = book.create_sheet(title[:LONGEST_TITLE])
    sheet.freeze_panes = "A2"
    for place, head in enumerate(heads, start=1):
        sheet.column_dimensions[get_column_letter(place)].width = min(max(len(head) + 2, NARROWEST), WIDEST)
    return sheet


def cell(sheet: Any, value: str | Decimal | date) -> WriteOnlyCell:
    """A cell of its kind. Text is never a formula, not even after someone edits the cell (quotePrefix)."""
    if isinstance(value, str):
        return _text_cell(sheet, value)
    made = WriteOnlyCell(sheet, value)
    if isinstance(value, date):
        made.number_format = DAY_FORMAT
    return made


def head(sheet: Any, text: str) -> WriteOnlyCell:
    """A cell of bold text."""
    made = cell(sheet, text)
    made.font = Font(bold=True)
    return made


def content_of(book: Workbook) -> bytes:
    """The finished workbook as a file."""
    file = BytesIO()
    book.save(file)
    return file.getvalue()


def _text_cell(sheet: Any, value: str) -> WriteOnlyCell:
    text = ILLEGAL_CHARACTERS_RE.sub("", value)  # control characters, which no XML holds
    made = WriteOnlyCell(sheet, text)
    # Judged as it is written: a control character before a formula hides it until it is taken out.
    if text.startswith(FORMULA_STARTS):
        made.data_type = "s"
        made.quotePrefix = True
    return made
