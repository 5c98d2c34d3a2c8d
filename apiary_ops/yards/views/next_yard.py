from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from apiary_ops.core.tables import export_links, table_file, table_for, wants_file
from apiary_ops.yards import queries, tables
from apiary_ops.yards.compute import next_yard as rank


@require_safe
def next_yard(request: HttpRequest) -> HttpResponse:
    found = queries.next_yards(request.season.pk, request.today)
    table = table_for(request, tables.NextYardTable, found.rows, distance_unit=request.business.distance_unit)
    if wants_file(request):
        return table_file(request, table, "which-yard-next")
    context = {
        "table": table,
        "found": found,
        "first": found.rows[0] if found.rows else None,
        "weights": queries.yard_weights(),
        "due_days": rank.DUE_DAYS,
        "longest_days": rank.LONGEST_UNSEEN_DAYS,
        "has_patties": any(row.patties.number for row in found.rows),
        "has_hive_beetle": request.business.has_hive_beetle,
        "exports": export_links(request),
    }
    return render(request, "yards/next.html", context)
