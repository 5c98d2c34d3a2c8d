from typing import Any

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

from .pages import measures, this_minute


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
        "jobs": visit.jobs_done.all(),
        "materials": queries.materials_of(visit.pk),
        "tally": queries.tally_of(visit),
        "holds": queries.open_holds_of(yard_id=visit.yard_id),
        "history": history_rows(visit),
    }
    return render(request, "yards/visit.html", context)


@require_http_methods(["GET", "POST"])
def start_visit(request: HttpRequest, code: str) -> HttpResponse:
    yard = get_object_or_404(queries.yard_by_code(code))
    initial = {
        "on": request.today,
        "arrived_at": this_minute(request),
        "km": yard.round_trip_km,
        "crew_ids": [request.user.pk],
    }
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
            if warning := queries.no_go_warning(yard.pk, visit.on):
                messages.warning(request, warning)
            return _to_the_work(request, visit)
    heading, back = _("Start a visit to %(yard)s") % {"yard": yard}, reverse("yards:detail", args=[yard.code])
    warning = queries.no_go_warning(yard.pk, request.today)
    return form_page(request, form, heading=heading, back=back, submit=_("Start"), caution=warning)


def _to_the_work(request: HttpRequest, visit: Visit) -> HttpResponse:
    """A visit to look at colonies goes straight to the first one or the tally; other work to the visit's page."""
    if visit.work == "look" and visit.depth == Visit.Depth.TALLY:
        return redirect("yards:tally", visit.pk)
    stops = queries.walk(visit, request.today) if visit.work == "look" else []
    if stops:
        return redirect("yards:look", visit.pk, stops[0].colony.tag)
    messages.success(request, _("The visit is recorded."))
    return redirect("yards:visit", visit.pk)


@require_http_methods(["GET", "POST"])
def leave_visit(request: HttpRequest, pk: int) -> HttpResponse:
    """The last minute at a yard: when, what was done and what was used, to be added to what others noted."""
    visit = get_object_or_404(queries.visit(pk))
    form = forms.LeaveVisit(request.POST or None, initial=_leaving(request, visit), **measures(request))
    if form.is_valid():
        values = {name: form.cleaned_data[name] for name in ("left_at", "minutes", "km", "jobs", "once_key")}
        try:
            services.leave_visit(visit_id=visit.pk, materials=form.materials, actor=request.user, **values)
        except AlreadyDone as done:
            return already_done(request, done, reverse("yards:visit", args=[visit.pk]))
        except services.LeftBeforeArriving as refusal:
            form.add_error("left_at", str(refusal))
        except RuleBroken as refusal:
            form.add_error(None, str(refusal))
        else:
            messages.success(request, _("Noted. Close the gate."))
            return redirect("yards:visit", visit.pk)
    heading = _("Leave %(yard)s") % {"yard": visit.yard}
    back = reverse("yards:visit", args=[visit.pk])
    note = _("Jobs and amounts are added to what is noted already.")
    # "Leave it", the usual way out of a form, would here be read as the act itself.
    ways = {"submit": _("Leave the yard"), "cancel": _("Not yet")}
    return form_page(request, form, heading=heading, back=back, note=note, **ways)


def _leaving(request: HttpRequest, visit: Visit) -> dict[str, Any]:
    """What a form to leave starts with: the minute, and what the looks say was done unless somebody noted it."""
    initial: dict[str, Any] = {"km": visit.km}
    if visit.on == request.today:
        initial["left_at"] = this_minute(request)
    if visit.left_at is None:
        seen = queries.work_seen_on(visit.pk)
        initial["jobs"] = seen.jobs
        if seen.patties and not queries.materials_of(visit.pk).exists():
            initial[forms.USED + "patty"] = seen.patties
    return initial


@require_http_methods(["GET", "POST"])
def edit_visit(request: HttpRequest, pk: int) -> HttpResponse:
    visit = get_object_or_404(queries.visit(pk))
    used = [
        services.MaterialDraft(row.material, row.quantity, row.colony_id, row.note)
        for row in queries.materials_of(visit.pk)
    ]
    initial = {name: getattr(visit, name) for name in (*forms.VISIT_FIELDS, "version")}
    initial |= {"crew_ids": [user.pk for user in visit.crew.all()], "jobs": queries.jobs_of(visit.pk)}
    form = forms.EditVisit(request.POST or None, initial=initial | forms.amounts_of(used), **measures(request))
    if form.is_valid():
        changes = {name: form.cleaned_data[name] for name in (*forms.VISIT_FIELDS, "crew_ids", "jobs")}
        changes["materials"] = form.materials_beside(used)
        try:
            services.edit_visit(
                visit_id=visit.pk, version=form.cleaned_data["version"], changes=changes, actor=request.user
            )
        except StaleRecord as refusal:
            form.show_stale(refusal)
        except services.LeftBeforeArriving as refusal:
            form.add_error("left_at", str(refusal))
        except RuleBroken as refusal:
            form.add_error(None, str(refusal))
        else:
            messages.success(request, _("Saved."))
            return redirect("yards:visit", visit.pk)
    heading = _("Visit to %(yard)s") % {"yard": visit.yard}
    back = reverse("yards:visit", args=[visit.pk])
    return form_page(request, form, heading=heading, back=back, submit=_("Save"), history=history_rows(visit))
