from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from apiary_ops.core.answers import already_done, form_page
from apiary_ops.core.history import history_rows
from apiary_ops.core.once import AlreadyDone
from apiary_ops.core.panels import panels_for
from apiary_ops.core.tables import export_links, table_file, table_for, wants_file
from apiary_ops.core.versions import StaleRecord
from apiary_ops.kernel.refusals import RuleBroken
from apiary_ops.yards import compute, forms, queries, services, tables

from .pages import measures


@require_safe
def yard_list(request: HttpRequest) -> HttpResponse:
    rows = queries.yard_overview(request.season.pk, request.today)
    table = table_for(request, tables.YardTable, rows, grades=queries.grades_in_force(request.today))
    if wants_file(request):
        return table_file(request, table, "yards")
    context = {"table": table, "rows": rows, "sums": queries.overview_sums(rows), "exports": export_links(request)}
    return render(request, "yards/yard_list.html", context)


@require_safe
def yard_page(request: HttpRequest, code: str) -> HttpResponse:
    yard = get_object_or_404(queries.yard_by_code(code))
    colonies = queries.graded_colonies(request.season.pk, request.today, yard_id=yard.pk)
    table = table_for(request, tables.ColonyTable, colonies, per_page=100)
    if wants_file(request):
        return table_file(request, table, yard.code)
    waiting = queries.tasks(request.season.pk).filter(yard=yard, done_on__isnull=True)
    context = {
        "yard": yard,
        "geo_uri": None if yard.latitude is None else compute.geo_uri(yard.latitude, yard.longitude),
        "land": queries.land_of(yard, request.today),
        "table": table,
        "exports": export_links(request),
        "sums": queries.colony_sums(colonies),
        "holds": queries.holds_open(request.today).filter(yard=yard),
        "tasks": tables.TaskTable(
            waiting, request=request, today=request.today, exclude=("yard",), empty_text=_("Nothing to do here.")
        ),
        "visits": queries.visits_of_season(request.season.pk).filter(yard=yard)[:5],
        "panels": panels_for("yard", request, yard),
        "history": history_rows(yard),
    }
    return render(request, "yards/yard.html", context)


@require_http_methods(["GET", "POST"])
def add_yard(request: HttpRequest) -> HttpResponse:
    form = forms.AddYard(request.POST or None, **measures(request))
    if form.is_valid():
        try:
            yard = services.add_yard(actor=request.user, **form.cleaned_data)
        except AlreadyDone as done:
            return already_done(request, done, reverse("yards:detail", args=[form.cleaned_data["code"]]))
        except services.CodeTaken as refusal:
            form.add_error("code", str(refusal))
        else:
            messages.success(request, _("%(yard)s is added. Add the colonies that stand there.") % {"yard": yard})
            return redirect("yards:detail", yard.code)
    return form_page(request, form, heading=_("Add a yard"), back=reverse("yards:list"), submit=_("Add the yard"))


@require_http_methods(["GET", "POST"])
def edit_yard(request: HttpRequest, code: str) -> HttpResponse:
    yard = get_object_or_404(queries.yard_by_code(code))
    initial = {name: getattr(yard, name) for name in (*forms.YARD_FIELDS, "version")}
    form = forms.EditYard(request.POST or None, initial=initial, **measures(request))
    if form.is_valid():
        changes = {name: form.cleaned_data[name] for name in forms.YARD_FIELDS}
        try:
            services.edit_yard(
                yard_id=yard.pk, version=form.cleaned_data["version"], changes=changes, actor=request.user
            )
        except StaleRecord as refusal:
            form.show_stale(refusal)
        except RuleBroken as refusal:
            form.add_error(None, str(refusal))
        else:
            messages.success(request, _("Saved."))
            return redirect("yards:detail", yard.code)
    back = reverse("yards:detail", args=[yard.code])
    return form_page(
        request,
        form,
        heading=_("Change %(yard)s") % {"yard": yard},
        back=back,
        submit=_("Save"),
        history=history_rows(yard),
    )
