"""A list as a file: what its filters and order show, from every page, in the same columns."""

import csv
from typing import TYPE_CHECKING
from urllib.parse import urlencode

from django.http import HttpRequest, HttpResponse
from django.utils.translation import gettext as _

if TYPE_CHECKING:
    from apiary_ops.core.tables import LedgerTable

EXPORT_FIELD = "export"
BYTE_ORDER_MARK = "\ufeff"


def wants_csv(request: HttpRequest) -> bool:
    """Whether the address asks for the list as a file."""
    return request.GET.get(EXPORT_FIELD) == "csv"


def csv_file(table: "LedgerTable", name: str) -> HttpResponse:
    """The rows of every page as CSV (RFC 4180), guarded against being read as formulas.

    It starts with a byte order mark, without which spreadsheets take its letters for those of another alphabet.
    """
    response = HttpResponse(BYTE_ORDER_MARK, content_type="text/csv; charset=utf-8")
    response["Content-Disposition"] = f'attachment; filename="{name}.csv"'
    csv.writer(response).writerows(table.rows_as_text(every_page=True))
    return response


def export_links(request: HttpRequest) -> list[dict[str, str]]:
    """The links of components/_filters.html that give this list as a file."""
    kept = [(name, one) for name, values in request.GET.lists() if name not in (EXPORT_FIELD, "page") for one in values]
    return [{"label": _("Save as CSV"), "url": f"?{urlencode([*kept, (EXPORT_FIELD, 'csv')])}"}]
