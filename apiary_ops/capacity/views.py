from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from apiary_ops.core.answers import status_of
from apiary_ops.core.history import history_rows
from apiary_ops.core.tables import export_links, table_file, table_for, wants_file
from apiary_ops.core.versions import StaleRecord
from apiary_ops.kernel.refusals import RuleBroken
from apiary_ops.yards.compute import FEWEST_PAIRS

from . import compute, forms, jobs, panels, queries, services, tables


@require_safe
def overview(request: HttpRequest) -> HttpResponse:
    """What the season can give; `?kind=spring-5` chooses the kind whose weeks are shown."""
    season = request.season
    forecast = queries.latest_forecast(season.pk)
    kinds = queries.kind_capacity(forecast)
    context: dict[str, Any] = {
        "forecast": forecast,
        "is_recomputing": queries.is_recomputing(season.pk),
        "has_failed": queries.has_failed(season.pk),
    }
    if forecast is None or not kinds:
        return render(request, "capacity/overview.html", context)
    chosen = _chosen(kinds, request.GET.get("kind", ""))
    weeks = table_for(request, tables.WeekTable, panels.week_rows(forecast, chosen), per_page=None)
    if wants_file(request):
        return table_file(request, weeks, "capacity")
    sale_weeks = queries.picture_weeks(season.pk, chosen, kinds)
    context |= {
        "kinds": panels.kind_figures(kinds, chosen),
        "chosen": chosen,
        "how": panels.how_capacity(forecast, chosen),
        "weeks": weeks,
        "exports": export_links(request),
        "pictures": panels.pictures(sale_weeks),
        "sale_weeks": tables.SaleWeekTable(sale_weeks, request=request),
        "yards": tables.YardTable(queries.yard_capacity(forecast, chosen), request=request, prefix="yards-"),
        "left_out": tables.LeftOutTable(panels.left_out_rows(forecast), request=request, prefix="out-"),
        "assumptions": tables.AssumptionTable(queries.stated_assumptions(queries.assumptions(season.pk))),
    }
    return render(request, "capacity/overview.html", context)


def _chosen(kinds: list[queries.KindCapacity], code: str) -> queries.KindCapacity:
    if not code:
        return next((row for row in kinds if row.weeks), kinds[0])
    for row in kinds:
        if row.kind.code == code:
            return row
    raise Http404


@require_safe
def swarm_watch(request: HttpRequest) -> HttpResponse:
    """What is full or fills up, when cells are due to be looked for, and what a swarm would cost."""
    watch = queries.swarm_watch(request.season.pk, request.today)
    table = table_for(request, tables.SwarmTable, watch.rows, per_page=100)
    if wants_file(request):
        return table_file(request, table, "swarm-watch")
    context = {
        "watch": watch,
        "table": table,
        "how": panels.how_swarms(watch),
        "exports": export_links(request),
    }
    return render(request, "capacity/swarm_watch.html", context)


@require_safe
def own_factors(request: HttpRequest) -> HttpResponse:
    """What own pairs of counts say of the factors, beside those in force."""
    rows = [
        (own, forms.OwnFactorForm(initial={name: getattr(own, name) for name in ("view", "warmer_than_c", "factor")}))
        for own in queries.own_factors(request.season.pk, request.today)
    ]
    return render(request, "capacity/own_factors.html", {"rows": rows, "fewest": FEWEST_PAIRS})


@require_POST
def accept_own_factor(request: HttpRequest) -> HttpResponse:
    form = forms.OwnFactorForm(request.POST)
    if not form.is_valid():
        raise Http404
    try:
        services.accept_own_factor(
            season_id=request.season.pk, today=request.today, actor=request.user, **form.cleaned_data
        )
    except RuleBroken as refusal:
        messages.error(request, str(refusal))
    else:
        messages.success(request, _("Your own factor counts from today. Recompute capacity to see what it changes."))
    return redirect("capacity:own-factors")


@require_POST
def recompute(request: HttpRequest) -> HttpResponse:
    if jobs.ask_for_forecast(season_id=request.season.pk, today=request.today, actor=request.user):
        messages.success(request, _("The forecast is being made; this page shows it once it is ready."))
    else:
        messages.info(request, _("A forecast waits already to be made."))
    return redirect("capacity:overview")


@require_http_methods(["GET", "POST"])
def edit_assumptions(request: HttpRequest) -> HttpResponse:
    row = queries.assumptions(request.season.pk)
    names = [parameter.name for parameter in compute.ASSUMED]
    form = forms.AssumptionsForm(
        request.POST or None, initial={name: getattr(row, name) for name in (*names, "version")}
    )
    if form.is_valid():
        try:
            services.edit_assumptions(
                season_id=request.season.pk,
                version=form.cleaned_data["version"],
                changes=form.changes,
                actor=request.user,
            )
        except StaleRecord as refusal:
            form.show_stale(refusal)
        except RuleBroken as refusal:
            form.add_error(None, str(refusal))
        else:
            messages.success(request, _("Saved. Recompute to see what it changes."))
            return redirect("capacity:overview")
    context = {
        "form": form,
        "history": history_rows(row) if row.pk else [],
        "build_up": tables.BuildUpTable(compute.PARAMETERS),
    }
    return render(request, "capacity/assumptions.html", context, status=status_of(form))


@require_http_methods(["GET", "POST"])
def edit_weeks(request: HttpRequest) -> HttpResponse:
    formset = forms.weeks_formset(request.POST or None, queries.weeks_to_state(request.season, request.today))
    if formset.is_valid():
        drafts = [form.draft() for form in formset]
        try:
            services.state_weeks(season_id=request.season.pk, weeks=drafts, actor=request.user)
        except StaleRecord as refusal:
            forms.show_stale_week(formset, refusal)
        else:
            messages.success(request, _("The weeks are saved."))
            return redirect("capacity:overview")
    return render(request, "capacity/weeks.html", {"formset": formset}, status=status_of(formset))
