from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from apiary_ops.core.answers import pdf_file, status_of
from apiary_ops.core.tables import export_links, table_file, table_for, wants_file
from apiary_ops.kernel.money import Money
from apiary_ops.kernel.refusals import RuleBroken
from apiary_ops.orders import queries as order_queries
from apiary_ops.pickups import forms, papers, queries, services, tables


@require_safe
def day_list(request: HttpRequest) -> HttpResponse:
    table = table_for(request, tables.DayTable, queries.days(request.season.pk))
    if wants_file(request):
        return table_file(request, table, "pickup-days")
    return render(request, "pickups/day_list.html", {"table": table, "exports": export_links(request)})


@require_http_methods(["GET", "POST"])
def open_day(request: HttpRequest) -> HttpResponse:
    yards = [(yard.pk, str(yard)) for yard in order_queries.pickup_yards()]
    form = forms.OpenDay(request.POST or None, yards=yards)
    if form.is_valid():
        values = form.cleaned_data
        try:
            day = services.open_pickup_day(
                season_id=request.season.pk,
                yard_id=values["yard"],
                on=values["on"],
                windows=values["windows"],
                notes=values["notes"],
                actor=request.user,
            )
        except RuleBroken as refusal:
            form.add_error(None, str(refusal))
        else:
            messages.success(request, _("The day is open. Book buyers into its windows."))
            return redirect("pickups:day", day.pk)
    context = {"form": form, "has_yards": bool(yards)}
    return render(request, "pickups/day_open.html", context, status=status_of(form))


@require_safe
def day_page(request: HttpRequest, pk: int) -> HttpResponse:
    day = get_object_or_404(queries.day_in_full(request.season.pk), pk=pk)
    rows = queries.rows_of_days([day], on=day.on)
    hidden = () if request.user.sees_prices else ("owed",)
    windows = []
    for window in queries.windows_of(day):
        own = [row for row in rows if row.booking.window_id == window.pk]
        table = tables.BookingTable(
            own, request=request, orderable=False, exclude=hidden, currency=request.business.currency
        )
        windows.append({"window": window, "rows": own, "table": table})
    context = {"day": day, "windows": windows, "figures": _figures(request, windows, rows)}
    return render(request, "pickups/day.html", context)


def _figures(request: HttpRequest, windows: list, rows: list) -> list[dict[str, object]]:
    coming = [row for row in rows if row.is_open]
    figures: list[dict[str, object]] = [
        {"label": _("Places free"), "value": sum(item["window"].free for item in windows)},
        {"label": _("Cars to come"), "value": len(coming)},
        {"label": _("Nucs to leave"), "value": sum(row.nucs for row in coming)},
        {"label": _("Collected"), "value": sum(1 for row in rows if row.is_collected)},
    ]
    unnumbered = sum(1 for row in rows if row.lacks_numbers)
    if unnumbered:
        figures.append({"label": _("Without numbers"), "value": unnumbered, "note": _("choose their nucs")})
    if request.user.sees_prices:
        owed = Money(sum(row.owed_cents for row in coming), request.business.currency)
        figures.append({"label": _("Owed at the gate"), "value": owed.plain, "unit": owed.currency})
    return figures


@require_safe
def run_sheet(request: HttpRequest, pk: int) -> HttpResponse:
    day = get_object_or_404(queries.day_in_full(request.season.pk), pk=pk)
    return pdf_file(papers.run_sheet_pdf(day.pk, printed_on=request.today), f"run-sheet-{day.on.isoformat()}")
