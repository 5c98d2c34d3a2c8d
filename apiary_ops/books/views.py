from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_safe

from apiary_ops.core.tables import table_for

from . import queries, tables


@require_safe
def entry_page(request: HttpRequest, pk: int) -> HttpResponse:
    entry = get_object_or_404(queries.entries_in_full(), pk=pk)
    totals = {"debit_cents": entry.moved_cents, "credit_cents": entry.moved_cents}
    currency = request.business.currency
    table = table_for(
        request, tables.EntryLineTable, entry.lines.all(), per_page=None, totals=totals, currency=currency
    )
    return render(request, "books/entry.html", {"entry": entry, "table": table})
