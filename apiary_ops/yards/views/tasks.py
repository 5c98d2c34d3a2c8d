from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.http import url_has_allowed_host_and_scheme
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from apiary_ops.core.answers import already_done, form_page
from apiary_ops.core.history import history_rows
from apiary_ops.core.once import AlreadyDone
from apiary_ops.core.tables import export_links, table_file, table_for, wants_file
from apiary_ops.core.versions import StaleRecord
from apiary_ops.kernel.refusals import RuleBroken
from apiary_ops.people.access import may_open
from apiary_ops.yards import filters, forms, queries, services, tables
from apiary_ops.yards.models import TaskRule


@require_safe
def task_list(request: HttpRequest) -> HttpResponse:
    rows = queries.tasks(request.season.pk)
    chosen = filters.TaskFilters(request.GET, queryset=rows, request=request)
    table = table_for(request, tables.TaskTable, chosen.qs, today=request.today, ticks=True)
    if wants_file(request):
        return table_file(request, table, "tasks")
    context = {
        "table": table,
        "filters": chosen,
        "exports": export_links(request),
        "several": tables.SEVERAL,
        "has_patties": rows.filter(rule=TaskRule.Code.PATTY, done_on__isnull=True).exists(),
        "has_hive_beetle": request.business.has_hive_beetle,
    }
    return render(request, "yards/task_list.html", context)


@require_http_methods(["GET", "POST"])
def add_task(request: HttpRequest, code: str) -> HttpResponse:
    yard = get_object_or_404(queries.yard_by_code(code))
    initial = {"due_on": request.today, "colony": request.GET.get("colony", "")}
    form = forms.AddTask(request.POST or None, yard_id=yard.pk, initial=initial)
    back = reverse("yards:detail", args=[yard.code])
    if form.is_valid():
        values = dict(form.cleaned_data)
        colony = values.pop("colony")
        try:
            services.add_task(
                season_id=request.season.pk,
                yard_id=yard.pk,
                colony_id=colony.pk if colony else None,
                actor=request.user,
                **values,
            )
        except AlreadyDone as done:
            return already_done(request, done, back)
        except RuleBroken as refusal:
            form.add_error(None, str(refusal))
        else:
            messages.success(request, _("The task is noted."))
            return redirect(back)
    heading = _("Add a task at %(yard)s") % {"yard": yard}
    return form_page(request, form, heading=heading, back=back, submit=_("Add it"))


@require_POST
def finish_task(request: HttpRequest, pk: int) -> HttpResponse:
    task = get_object_or_404(queries.tasks(request.season.pk), pk=pk)
    try:
        services.finish_task(task_id=task.pk, on=request.today, actor=request.user)
    except RuleBroken as refusal:
        messages.info(request, str(refusal))
    else:
        messages.success(request, _("%(what)s: done.") % {"what": task.what})
    return redirect(_back(request))


@require_POST
def reopen_task(request: HttpRequest, pk: int) -> HttpResponse:
    task = get_object_or_404(queries.tasks(request.season.pk), pk=pk)
    try:
        services.reopen_task(task_id=task.pk, actor=request.user)
    except RuleBroken as refusal:
        messages.info(request, str(refusal))
    else:
        messages.success(request, _("%(what)s is open again.") % {"what": task.what})
    return redirect(_back(request))


@require_POST
def finish_tasks(request: HttpRequest) -> HttpResponse:
    """Those ticked in a list are done today."""
    form = forms.TasksToFinish(request.POST, season_id=request.season.pk)
    if not form.is_valid():
        for words in form.errors.values():
            messages.warning(request, words[0])
        return redirect(_back(request))
    done = services.finish_tasks(
        task_ids=[task.pk for task in form.cleaned_data["task"]], on=request.today, actor=request.user
    )
    number = len(done)
    messages.success(request, ngettext("%(number)s task done.", "%(number)s tasks done.", number) % {"number": number})
    return redirect(_back(request))


@require_safe
def task_rules(request: HttpRequest) -> HttpResponse:
    hidden = () if may_open(request.user.role, "yards:task-rule") else ("change",)
    table = tables.TaskRuleTable(queries.task_rules(), request=request, exclude=hidden)
    context = {"table": table, "has_hive_beetle": request.business.has_hive_beetle}
    return render(request, "yards/task_rules.html", context)


@require_http_methods(["GET", "POST"])
def edit_task_rule(request: HttpRequest, code: str) -> HttpResponse:
    rule = get_object_or_404(queries.task_rules(), code=code)
    names = ("is_on", "days", "most_frames")
    initial = {name: getattr(rule, name) for name in (*names, "version")}
    form = forms.EditTaskRule(request.POST or None, code=rule.code, initial=initial)
    if form.is_valid():
        changes = {name: form.cleaned_data[name] for name in names if name in form.fields}
        try:
            services.edit_task_rule(
                code=rule.code, version=form.cleaned_data["version"], changes=changes, actor=request.user
            )
        except StaleRecord as refusal:
            form.show_stale(refusal)
        else:
            messages.success(request, _("Saved."))
            return redirect("yards:task-rules")
    heading, back = _("When to make the task: %(rule)s") % {"rule": rule}, reverse("yards:task-rules")
    note = _("It counts from the next look on; tasks that stand stay.")
    history = history_rows(rule)
    return form_page(request, form, heading=heading, back=back, submit=_("Save"), note=note, history=history)


def _back(request: HttpRequest) -> str:
    """The list the button was pressed on."""
    back = request.POST.get("back", "")
    safe = url_has_allowed_host_and_scheme(back, {request.get_host()}, require_https=request.is_secure())
    return back if safe and back.startswith("/") else reverse("yards:task-list")
