from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from apiary_ops.core.tables import export_links, table_file, table_for, wants_file
from apiary_ops.yards import compute, forms, queries, tables


@require_safe
def change(request: HttpRequest) -> HttpResponse:
    """Two rounds of looks side by side, by yard and colony, and the grades of every yard today."""
    seen = queries.sights(request.season.pk, request.today)
    rounds = queries.look_rounds(seen)
    context: dict[str, Any] = {"rounds": rounds}
    if len(rounds) > 1:
        form = forms.ChooseRounds(request.GET, rounds)
        compared = queries.compare_rounds(seen, *form.chosen, request.today)
        colonies = table_for(request, tables.ColonyChangeTable, compared.colonies)
        if wants_file(request):
            return table_file(request, colonies, "change")
        context |= {
            "form": form,
            "compared": compared,
            "colonies": colonies,
            "exports": export_links(request),
            "yards": tables.YardChangeTable(compared.yards, request=request, prefix="yards-"),
            "picture": compute.draw_change([(row.yard.name, row.then, row.now) for row in compared.yards]),
        }
    rows, grades = queries.yard_overview(request.season.pk, request.today), queries.grades_in_force(request.today)
    context |= {
        "mix": compute.draw_mix([(row.yard.name, row.counts) for row in rows]),
        "mix_table": tables.MixTable(rows, grades=grades, request=request, prefix="mix-"),
        "grades": grades,
    }
    return render(request, "yards/change.html", context)
