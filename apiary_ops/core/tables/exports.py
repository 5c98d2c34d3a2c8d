"""A list as a file: what its filters and order show, from every page, in the same columns."""

import csv
from decimal import Decimal
from typing import TYPE_CHECKING, Any
from urllib.parse import urlencode

from django.http import HttpRequest, HttpResponse
from django.utils.translation import gettext as _

from apiary_ops.core import workbooks

if TYPE_CHECKING:
    from apiary_ops.core.tables import LedgerTable

EXPORT_FIELD = "export"
BYTE_ORDER_MARK = "\ufeff"


def wants_file(request: HttpRequest) -> bool:
    """Whether the address asks for the list as a file."""
    return request.GET.get(EXPORT_FIELD) in ("csv", "xlsx")


def table_file(request: HttpRequest, table: "LedgerTable", name: str) -> HttpResponse:
    """The rows of every page as the file the address asks for: `name`.csv, or a spreadsheet `name`.xlsx."""
    kind = request.GET.get(EXPORT_FIELD, "csv")
    response = _spreadsheet(table, name) if kind == "xlsx" else _csv(table)
    response["Content-Disposition"] = f'attachment; filename="{name}.{kind}"'
    return response


def export_links(request: HttpRequest, **chosen: str) -> list[dict[str, str]]:
    """The links of components/_filters.html that give this list as a file.

    `chosen` are further parameters, where a page with several lists must say which one is meant.
    """
    replaced = {EXPORT_FIELD, "page", *chosen}
    kept = [(name, one) for name, values in request.GET.lists() if name not in replaced for one in values]
    kept += chosen.items()
    kinds = [("csv", _("Save as CSV")), ("xlsx", _("Save as spreadsheet"))]
    return [{"label": label, "url": f"?{urlencode([*kept, (EXPORT_FIELD, kind)])}"} for kind, label in kinds]


def _csv(table: "LedgerTable") -> HttpResponse:
    """CSV (RFC 4180), guarded against being read as formulas.

    It starts with a byte order mark, without which spreadsheets take its letters for those of another alphabet.
    """
    response = HttpResponse(BYTE_ORDER_MARK, content_type="text/csv; charset=utf-8")
    csv.writer(response).writerows(table.rows_as_text(every_page=True))
    return response


def _spreadsheet(table: "LedgerTable", name: str) -> HttpResponse:
    """An Office Open XML workbook of one sheet (ECMA-376): numbers and days are cells to reckon with, text is text."""
    rows = table.rows_as_values(every_page=True)
    heads = next(rows)
    book = workbooks.new_book()
    sheet = workbooks.add_table(book, name, heads)
    sheet.append([workbooks.head(sheet, head) for head in heads])
    for row in rows:
        sheet.append([_cell(sheet, value) for value in row])
    return HttpResponse(workbooks.content_of(book), content_type=workbooks.MEDIA_TYPE)


def _cell(sheet: Any, value: Any) -> Any:
    cell = workbooks.cell(sheet, value)
    if isinstance(value, Decimal):
        cell.number_format = _number_format(value)
    return cell


def _number_format(value: Decimal) -> str:
    """Thousands apart, and as many places as the number is written with."""
    places = -int(value.as_tuple().exponent)
    return "#,##0" + ("." + "0" * places if places > 0 else "")
