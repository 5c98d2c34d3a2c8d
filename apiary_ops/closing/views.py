from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from . import queries, tables


@require_safe
def proofs(request: HttpRequest) -> HttpResponse:
    rows = tables.proof_rows(queries.proofs(request.season.pk), request.business.currency)
    context = {"proofs": rows, "differing": [row for row in rows if not row.agrees]}
    return render(request, "closing/proofs.html", context)
