from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from . import queries, tables


@require_safe
def season_margin(request: HttpRequest) -> HttpResponse:
    report = queries.season_margin(request.season.pk)
    currency = request.business.currency
    earning = queries.earning(report)
    context = {
        "report": report,
        "earning": earning,
        "currency": currency,
        "figures": tables.figures(earning, currency),
        "break_even_lines": tables.break_even_lines(earning, currency),
        "kinds": tables.kind_table(report, currency),
        "ways": tables.ways(report, currency),
        "expenses": tables.expense_table(report, currency),
    }
    return render(request, "margin/season_margin.html", context)
