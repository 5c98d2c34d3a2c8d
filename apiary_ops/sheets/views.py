"""Doors of the sheets: a file is given, looked at, imported as a whole, and may be undone; the same goes out again."""

from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from apiary_ops.core.answers import form_page, status_of
from apiary_ops.core.tables import export_links, table_file, table_for, wants_file
from apiary_ops.core.workbooks import MEDIA_TYPE
from apiary_ops.kernel.refusals import RuleBroken

from . import compute, forms, queries, services, tables
from .models import ImportRun
from .registry import Importer, importer_of, importers


@require_safe
def run_list(request: HttpRequest) -> HttpResponse:
    table = table_for(request, tables.RunTable, queries.runs())
    if wants_file(request):
        return table_file(request, table, "imports")
    context = {"importers": importers(), "table": table, "exports": export_links(request)}
    return render(request, "sheets/run_list.html", context)


@require_http_methods(["GET", "POST"])
def give(request: HttpRequest, kind: str) -> HttpResponse:
    importer = _importer(kind)
    form = forms.GiveFile(request.POST or None, request.FILES or None)
    if form.is_valid():
        file = form.cleaned_data["file"]
        try:
            run = services.read_file(
                kind=kind, file_name=file.name, content=file.read(), actor=request.user, now=request.now
            )
        except services.AlreadyImported as refusal:
            messages.info(request, str(refusal))
            return redirect("sheets:run", refusal.run.pk)
        except RuleBroken as refusal:
            form.add_error("file", str(refusal))
        else:
            return redirect("sheets:run", run.pk)
    columns = table_for(request, tables.ColumnTable, queries.columns_of(importer), per_page=None)
    context = {"importer": importer, "form": form, "table": columns}
    return render(request, "sheets/give.html", context, status=status_of(form))


@require_safe
def template(request: HttpRequest, kind: str) -> HttpResponse:
    """The heads alone, to be filled in; a spreadsheet tells on a second sheet what each column takes."""
    importer = _importer(kind)
    columns = queries.columns_of(importer)
    notes = [[_("Column"), _("Needed"), _("Such as"), _("What it takes")]]
    notes += [[one.head, _("yes") if one.is_needed else "", one.kind.example, one.help] for one in columns]
    return _file(request, importer, columns, [], f"{kind}-template", (_("What it takes"), notes))


@require_safe
def save(request: HttpRequest, kind: str) -> HttpResponse:
    """Every record of the kind, in the shape it is imported in."""
    importer = _importer(kind)
    return _file(request, importer, queries.columns_of(importer), queries.records_of(importer), kind, None)


@require_http_methods(["GET", "POST"])
def run_page(request: HttpRequest, pk: int) -> HttpResponse:
    run = get_object_or_404(queries.run(pk))
    importer = _importer(run.kind)
    if run.state != ImportRun.State.READ:
        return render(request, "sheets/run_done.html", {"run": run, "importer": importer})
    try:
        reading = queries.reading_of(run, importer, request.today)
    except compute.Unreadable as trouble:
        return render(
            request,
            "sheets/run_unreadable.html",
            {"run": run, "importer": importer, "trouble": queries.said(trouble.saying)},
        )
    form = forms.ChooseColumns(request.POST or None, reading=reading, initial=_chosen(run, reading))
    if form.is_valid() and _choose(form, run):
        return redirect("sheets:run", run.pk)
    faults = table_for(request, tables.FaultTable, reading.faults, prefix="faults-")
    if wants_file(request):
        return table_file(request, faults, f"{importer.kind}-wrong")
    context = {
        "run": run,
        "importer": importer,
        "reading": reading,
        "form": form,
        "faults": faults,
        "exports": export_links(request),
        "preview": tables.PreviewTable(reading, request=request),
    }
    return render(request, "sheets/run.html", context, status=status_of(form))


@require_POST
def carry_out(request: HttpRequest, pk: int) -> HttpResponse:
    run = get_object_or_404(queries.run(pk))
    try:
        done = services.carry_out(run_id=run.pk, today=request.today, actor=request.user, now=request.now)
    except RuleBroken as refusal:
        messages.warning(request, str(refusal))
    else:
        words = ngettext("%(rows)s row imported.", "%(rows)s rows imported.", done.rows)
        messages.success(request, words % {"rows": done.rows})
    return redirect("sheets:run", run.pk)


@require_http_methods(["GET", "POST"])
def undo(request: HttpRequest, pk: int) -> HttpResponse:
    run = get_object_or_404(queries.run(pk))
    form = forms.Undo(request.POST or None)
    if form.is_valid():
        try:
            services.undo(run_id=run.pk, actor=request.user, now=request.now)
        except RuleBroken as refusal:
            form.add_error(None, str(refusal))
        else:
            messages.success(request, _("Undone: what %(file)s brought is taken back.") % {"file": run.file_name})
            return redirect("sheets:run", run.pk)
    return form_page(
        request,
        form,
        heading=_("Undo the import of %(file)s") % {"file": run.file_name},
        back=reverse("sheets:run", args=[run.pk]),
        submit=_("Undo it"),
        caution=_(
            "What it brought is deleted, all of it, unless something builds on it already. History stays, and so do "
            "holds until someone ends them."
        ),
        danger=True,
    )


@require_POST
def forget(request: HttpRequest, pk: int) -> HttpResponse:
    run = get_object_or_404(queries.run(pk))
    try:
        services.forget_file(run_id=run.pk)
    except RuleBroken as refusal:
        messages.warning(request, str(refusal))
        return redirect("sheets:run", run.pk)
    messages.success(request, _("%(file)s is let go; nothing was imported.") % {"file": run.file_name})
    return redirect("sheets:list")


def _importer(kind: str) -> Importer:
    importer = importer_of(kind)
    if importer is None:
        raise Http404
    return importer


def _chosen(run: ImportRun, reading: queries.Reading) -> dict[str, Any]:
    chosen = {forms.PREFIX + name: head for name, head in run.columns.items()}
    return chosen | {"sheet": reading.sheet, "day_order": run.day_order}


def _choose(form: forms.ChooseColumns, run: ImportRun) -> bool:
    """Whether the choice was taken; a refusal stands on the form."""
    try:
        services.choose_columns(
            run_id=run.pk,
            columns=form.columns,
            sheet=form.cleaned_data.get("sheet", ""),
            day_order=form.cleaned_data["day_order"],
        )
    except RuleBroken as refusal:
        form.add_error(None, str(refusal))
        return False
    return True


def _file(request: HttpRequest, importer: Importer, columns: Any, records: Any, name: str, notes: Any) -> HttpResponse:
    """CSV or, where the address asks for it, a spreadsheet."""
    if request.GET.get("export") == "xlsx":
        content, kind, ending = compute.xlsx_bytes(str(importer.heading), columns, records, notes), MEDIA_TYPE, "xlsx"
    else:
        content, kind, ending = compute.csv_bytes(columns, records), "text/csv; charset=utf-8", "csv"
    response = HttpResponse(content, content_type=kind)
    response["Content-Disposition"] = f'attachment; filename="{name}.{ending}"'
    return response
