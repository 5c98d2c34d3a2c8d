from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from apiary_ops.core.answers import already_done, form_page
from apiary_ops.core.history import history_rows
from apiary_ops.core.once import AlreadyDone
from apiary_ops.core.tables import export_links, table_file, table_for, wants_file
from apiary_ops.core.versions import StaleRecord
from apiary_ops.kernel.refusals import RuleBroken
from apiary_ops.yards import filters, forms, queries, services, tables
from apiary_ops.yards.models import Visit

from .pages import measures


@require_safe
def visit_list(request: HttpRequest) -> HttpResponse:
    rows = queries.visits_of_season(request.season.pk)
    chosen = filters.VisitFilters(request.GET, queryset=rows, request=request)
    table = table_for(request, tables.VisitTable, chosen.qs, distance_unit=request.business.distance_unit)
    if wants_file(request):
        return table_file(request, table, "visits")
    context = {"table": table, "filters": chosen, "exports": export_links(request)}
    return render(request, "yards/visit_list.html", context)


@require_safe
def visit_page(request: HttpRequest, pk: int) -> HttpResponse:
    visit = get_object_or_404(queries.visit(pk))
    stops = queries.walk(visit, request.today)
    waiting = [stop.colony for stop in stops if stop.look is None]
    context = {
        "visit": visit,
        "table": table_for(request, tables.StopTable, stops, per_page=100, visit_id=visit.pk),
        "looked": len(stops) - len(waiting),
        "stops": len(stops),
        "next": waiting[0] if waiting else None,
        "holds": queries.open_holds_of(yard_id=visit.yard_id),
        "history": history_rows(visit),
    }
    return render(request, "yards/visit.html", context)


@require_http_methods(["GET", "POST"])
def start_visit(request: HttpRequest, code: str) -> HttpResponse:
    yard = get_object_or_404(queries.yard_by_code(code))
    initial = {"on": request.today, "km": yard.round_trip_km, "crew_ids": [request.user.pk]}
    form = forms.StartVisit(request.POST or None, initial=initial, **measures(request))
    if form.is_valid():
        try:
            visit = services.record_visit(
                season_id=request.season.pk,
                yard_id=yard.pk,
                today=request.today,
                actor=request.user,
                **form.cleaned_data,
            )
        except AlreadyDone as done:
            return already_done(request, done, reverse("yards:visit", args=[done.result.removeprefix("visit:")]))
        except (services.FutureDay, services.OutsideSeason) as refusal:
            form.add_error("on", str(refusal))
        except RuleBroken as refusal:
            form.add_error(None, str(refusal))
        else:
            return _to_first_look(request, visit)
    heading, back = _("Start a visit to %(yard)s") % {"yard": yard}, reverse("yards:detail", args=[yard.code])
    warning = queries.no_go_warning(yard.pk, request.today)
    return form_page(request, form, heading=heading, back=back, submit=_("Start"), caution=warning)


def _to_first_look(request: HttpRequest, visit: Visit) -> HttpResponse:
    """A visit to look at colonies goes straight to the first one; any other work to the visit's page."""
    stops = queries.walk(visit, request.today) if visit.work == "look" else []
    if stops:
        return redirect("yards:look", visit.pk, stops[0].colony.tag)
    messages.success(request, _("The visit is recorded."))
    return redirect("yards:visit", visit.pk)


@require_http_methods(["GET", "POST"])
def edit_visit(request: HttpRequest, pk: int) -> HttpResponse:
    visit = get_object_or_404(queries.visit(pk))
    initial = {name: getattr(visit, name) for name in (*forms.VISIT_FIELDS, "version")}
    initial["crew_ids"] = [user.pk for user in visit.crew.all()]
    form = forms.EditVisit(request.POST or None, initial=initial, **measures(request))
    if form.is_valid():
        changes = {name: form.cleaned_data[name] for name in (*forms.VISIT_FIELDS, "crew_ids")}
        try:
            services.edit_visit(
                visit_id=visit.pk, version=form.cleaned_data["version"], changes=changes, actor=request.user
            )
        except StaleRecord as refusal:
            form.show_stale(refusal)
        else:
            messages.success(request, _("Saved."))
            return redirect("yards:visit", visit.pk)
    heading = _("Visit to %(yard)s") % {"yard": visit.yard}
    back = reverse("yards:visit", args=[visit.pk])
    return form_page(request, form, heading=heading, back=back, submit=_("Save"), history=history_rows(visit))
