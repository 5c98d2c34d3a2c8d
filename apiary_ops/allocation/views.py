from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from apiary_ops.core.answers import status_of
from apiary_ops.core.tables import export_links, table_file, table_for, wants_file
from apiary_ops.kernel.refusals import RuleBroken
from apiary_ops.kernel.weeks import Week

from . import forms, queries, services, tables
from .models import Plan


@require_safe
def plan_page(request: HttpRequest) -> HttpResponse:
    return _show_plan(request, queries.newest_plan(request.season.pk))


@require_safe
def plan_detail(request: HttpRequest, pk: int) -> HttpResponse:
    return _show_plan(request, get_object_or_404(queries.plans(request.season.pk), pk=pk))


def _show_plan(request: HttpRequest, plan: Plan | None) -> HttpResponse:
    if plan is None:
        return render(request, "allocation/plan.html", {"plan": None})
    standing = queries.standing_plan(request.season.pk)
    is_proposal = plan.accepted_at is None
    rows = queries.plan_rows(plan, standing if is_proposal else None)
    form = forms.NarrowPlan(request.GET)
    form.is_valid()
    narrowing = {"text": form.cleaned_data.get("q", ""), "show": form.cleaned_data.get("show", "")}
    shown = queries.narrowed([row for row in rows if row.served], **narrowing)
    table = table_for(request, tables.PlanTable, shown)
    if wants_file(request):
        return table_file(request, table, f"plan-{plan.pk}")
    changes = queries.change_rows(rows)
    context = {
        "plan": plan,
        "standing": standing,
        "is_proposal": is_proposal,
        "moved": ", ".join(queries.moved_areas(plan)),
        "figures": _figures(queries.plan_summary(rows), is_compared=is_proposal and standing is not None),
        "refused_pins": queries.refused_pins(rows),
        "changes": table_for(request, tables.ChangeTable, changes, prefix="changes-", per_page=25) if changes else None,
        "filter_form": form,
        "is_narrowed": any(narrowing.values()),
        "exports": export_links(request),
        "table": table,
    }
    return render(request, "allocation/plan.html", context)


def _figures(summary: dict[str, int], *, is_compared: bool) -> list[dict[str, object]]:
    figures: list[dict[str, object]] = [
        {"label": _("Lines owed"), "value": summary["lines"]},
        {"label": _("Nucs owed"), "value": summary["asked"]},
        {"label": _("Given"), "value": summary["given"]},
        {
            "label": _("Short"),
            "value": summary["short"],
            "tone": "mind" if summary["short"] else "",
            "note": ngettext("on %(count)s line", "on %(count)s lines", summary["short_lines"])
            % {"count": summary["short_lines"]}
            if summary["short"]
            else "",
        },
    ]
    if is_compared:
        figures.append({"label": _("Lines that gain"), "value": summary["gains"]})
        figures.append(
            {"label": _("Lines that slip"), "value": summary["slips"], "tone": "mind" if summary["slips"] else ""}
        )
    return figures


@require_POST
def propose(request: HttpRequest) -> HttpResponse:
    before = queries.newest_plan(request.season.pk)
    plan = services.propose_plan(season_id=request.season.pk, today=request.today, now=request.now, actor=request.user)
    if plan == before:
        messages.info(request, _("Nothing has changed since this plan was made; it comes out the same."))
    else:
        messages.success(request, _("A new plan is worked out. Look at what it changes before you accept it."))
    return redirect("allocation:plan")


@require_http_methods(["GET", "POST"])
def accept(request: HttpRequest, pk: int) -> HttpResponse:
    plan = get_object_or_404(queries.plans(request.season.pk), pk=pk)
    refusal = ""
    if request.method == "POST":
        try:
            services.accept_plan(plan_id=plan.pk, now=request.now, actor=request.user)
        except RuleBroken as broken:
            refusal = str(broken)
        else:
            messages.success(request, _("This plan stands now."))
            return redirect("allocation:plan")
    summary = queries.plan_summary(queries.plan_rows(plan, queries.standing_plan(request.season.pk)))
    moved = ", ".join(queries.moved_areas(plan))
    context = {"plan": plan, "consequences": _consequences(summary), "refusal": refusal, "moved": moved}
    return render(request, "allocation/accept.html", context, status=422 if refusal else 200)


def _consequences(summary: dict[str, int]) -> list[str]:
    said = [
        ngettext("%(count)s line gains.", "%(count)s lines gain.", summary["gains"]) % {"count": summary["gains"]},
        ngettext("%(count)s line slips.", "%(count)s lines slip.", summary["slips"]) % {"count": summary["slips"]},
        ngettext("%(count)s nuc stays short.", "%(count)s nucs stay short.", summary["short"])
        % {"count": summary["short"]},
    ]
    said.append(_("Buyers are not told by this; tell those who move on their orders."))
    return said


@require_safe
def weeks_page(request: HttpRequest) -> HttpResponse:
    plan = queries.standing_plan(request.season.pk)
    rows = queries.week_totals(request.season.pk, request.today, plan)
    table = table_for(request, tables.WeekTable, rows, per_page=None)
    if wants_file(request):
        return table_file(request, table, "allocation-weeks")
    context = {"table": table, "rows": rows, "plan": plan, "exports": export_links(request)}
    return render(request, "allocation/weeks.html", context)


@require_safe
def pin_list(request: HttpRequest) -> HttpResponse:
    table = table_for(request, tables.PinTable, queries.pins(request.season.pk))
    if wants_file(request):
        return table_file(request, table, f"pins-{request.season}")
    return render(request, "allocation/pin_list.html", {"table": table, "exports": export_links(request)})


@require_http_methods(["GET", "POST"])
def add_pin(request: HttpRequest) -> HttpResponse:
    """First the order by its number (in the address), then the place of one of its lines."""
    number = request.GET.get("order", "")
    lines = queries.lines_to_pin(request.season.pk, number) if number else []
    if not lines:
        form = forms.FindOrder(request.GET if number else None)
        if number and form.is_valid():
            form.add_error("order", _("No order of that number is owed nucs without a pin. Check the number."))
        return render(request, "allocation/pin_find.html", {"form": form}, status=422 if number else 200)
    form = forms.PinLine(
        request.POST or None, lines=_line_choices(lines), kinds=_kind_choices(lines), initial={"kind": lines[0].kind_id}
    )
    if form.is_valid():
        values = form.cleaned_data
        try:
            services.pin_line(
                line_id=values["line"],
                week=values["day"],
                kind_id=values["kind"],
                reason=values["reason"],
                today=request.today,
                actor=request.user,
            )
        except RuleBroken as refusal:
            form.add_error(None, str(refusal))
        else:
            words = {"number": number, "week": Week(values["day"]).label}
            messages.success(request, _("Order %(number)s is pinned to the %(week)s.") % words)
            return redirect("allocation:pin-list")
    context = {"form": form, "order": lines[0].order}
    return render(request, "allocation/pin_add.html", context, status=status_of(form))


def _line_choices(lines):
    return [(line.pk, f"{line.outstanding} × {line.kind}, {line.round}") for line in lines]


def _kind_choices(lines):
    kinds = {line.kind_id: str(line.kind) for line in lines}
    kinds |= {kind.pk: str(kind) for line in lines for kind in line.substitutes.all()}
    return list(kinds.items())


@require_http_methods(["GET", "POST"])
def remove_pin(request: HttpRequest, pk: int) -> HttpResponse:
    pin = get_object_or_404(queries.pins(request.season.pk), pk=pk)
    if request.method == "POST":
        services.unpin_line(line_id=pin.line_id, actor=request.user)
        messages.success(request, _("The pin is removed; the next plan decides."))
        return redirect("allocation:pin-list")
    return render(request, "allocation/pin_remove.html", {"pin": pin})
