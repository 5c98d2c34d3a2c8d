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
from apiary_ops.core.panels import panels_for
from apiary_ops.core.versions import StaleRecord
from apiary_ops.kernel.refusals import RuleBroken
from apiary_ops.yards import compute, forms, queries, services, tables
from apiary_ops.yards.models import Colony

FRAME_MOVES_SHOWN = 20


@require_safe
def colony_page(request: HttpRequest, tag: str) -> HttpResponse:
    colony = get_object_or_404(queries.colony_by_tag(tag))
    waiting = queries.tasks(request.season.pk).filter(colony=colony, done_on__isnull=True)
    context = {
        "colony": colony,
        "graded": queries.graded_colony(colony, request.season.pk, request.today),
        "looks": queries.looks_of_colony(colony, request.today),
        "holds": queries.open_holds_of(yard_id=colony.yard_id, colony_id=colony.pk),
        "frame_moves": queries.frame_moves_with(colony)[:FRAME_MOVES_SHOWN],
        "lineage": queries.lineage_of(colony),
        "tasks": tables.TaskTable(waiting, request=request, today=request.today, exclude=("yard", "colony")),
        "panels": panels_for("colony", request, colony),
        "history": history_rows(colony),
    }
    return render(request, "yards/colony.html", context)


@require_http_methods(["GET", "POST"])
def add_colony(request: HttpRequest, code: str) -> HttpResponse:
    yard = get_object_or_404(queries.yard_by_code(code))
    form = forms.AddColony(request.POST or None, initial={"started_on": request.today})
    if form.is_valid():
        try:
            colony = services.add_colony(yard_id=yard.pk, today=request.today, actor=request.user, **form.cleaned_data)
        except AlreadyDone as done:
            return already_done(request, done, reverse("yards:detail", args=[yard.code]))
        except services.TagTaken as refusal:
            form.add_error("tag", str(refusal))
        except services.PositionTaken as refusal:
            form.add_error("position", str(refusal))
        except services.FutureDay as refusal:
            form.add_error("started_on", str(refusal))
        else:
            messages.success(request, _("%(tag)s stands at position %(position)s of %(yard)s.") % _place(colony))
            again = "another" in request.POST
            return redirect("yards:colony-add" if again else "yards:detail", yard.code)
    heading = _("Add a colony to %(yard)s") % {"yard": yard}
    back = reverse("yards:detail", args=[yard.code])
    submit, another = _("Add it"), _("Add it, then another")
    return form_page(request, form, heading=heading, back=back, submit=submit, another=another)


@require_http_methods(["GET", "POST"])
def edit_colony(request: HttpRequest, tag: str) -> HttpResponse:
    colony = get_object_or_404(queries.colony_by_tag(tag))
    initial = {name: getattr(colony, name) for name in (*forms.COLONY_FIELDS, "version")}
    form = forms.EditColony(request.POST or None, initial=initial)
    if form.is_valid():
        changes = {name: form.cleaned_data[name] for name in forms.COLONY_FIELDS}
        version = form.cleaned_data["version"]
        try:
            colony = services.edit_colony(colony_id=colony.pk, version=version, changes=changes, actor=request.user)
        except StaleRecord as refusal:
            form.show_stale(refusal)
        except services.TagTaken as refusal:
            form.add_error("tag", str(refusal))
        else:
            messages.success(request, _("Saved."))
            _mind_the_mark(request, colony)
            return redirect("yards:colony", colony.tag)
    back = reverse("yards:colony", args=[tag])
    return form_page(
        request,
        form,
        heading=_("Change colony %(tag)s") % {"tag": tag},
        back=back,
        submit=_("Save"),
        history=history_rows(colony),
    )


@require_http_methods(["GET", "POST"])
def move_colony(request: HttpRequest, tag: str) -> HttpResponse:
    colony = get_object_or_404(queries.colony_by_tag(tag))
    form = forms.MoveColony(request.POST or None, initial={"yard": colony.yard_id, "position": colony.position})
    if form.is_valid():
        try:
            moved = services.move_colony(
                colony_id=colony.pk,
                yard_id=form.cleaned_data["yard"].pk,
                position=form.cleaned_data["position"],
                actor=request.user,
            )
        except services.PositionTaken as refusal:
            form.add_error("position", str(refusal))
        except RuleBroken as refusal:
            form.add_error(None, str(refusal))
        else:
            messages.success(request, _("%(tag)s stands at position %(position)s of %(yard)s.") % _place(moved))
            return redirect("yards:colony", tag)
    heading, back = _("Move colony %(tag)s") % {"tag": tag}, reverse("yards:colony", args=[tag])
    caution = _("Moving bees can move disease: a held yard stays shut, and movement rules differ from place to place.")
    return form_page(request, form, heading=heading, back=back, submit=_("Move it"), caution=caution)


@require_http_methods(["GET", "POST"])
def swap_colonies(request: HttpRequest, tag: str) -> HttpResponse:
    colony = get_object_or_404(queries.colony_by_tag(tag))
    form = forms.SwapColonies(request.POST or None, colony=colony)
    if form.is_valid():
        other = form.cleaned_data["other"]
        try:
            pair = services.swap_positions(first_id=colony.pk, second_id=other.pk, actor=request.user)
        except RuleBroken as refusal:
            form.add_error(None, str(refusal))
        else:
            for one in pair:
                messages.success(request, _("%(tag)s stands at position %(position)s of %(yard)s.") % _place(one))
            return redirect("yards:colony", tag)
    heading, back = _("Swap colony %(tag)s with another") % {"tag": tag}, reverse("yards:colony", args=[tag])
    note = _("The fliers come home to the place they know: the weaker colony gets those of the stronger.")
    caution = _("Lift with two people or a cart, and not while both are flying hard in the heat.")
    return form_page(request, form, heading=heading, back=back, submit=_("Swap them"), note=note, caution=caution)


@require_http_methods(["GET", "POST"])
def set_purpose(request: HttpRequest, tag: str) -> HttpResponse:
    colony = get_object_or_404(queries.colony_by_tag(tag))
    initial = {"purpose": colony.purpose, "starts_on": colony.purpose_from, "ends_on": colony.purpose_until}
    form = forms.SetPurpose(request.POST or None, initial=initial)
    if form.is_valid():
        try:
            services.set_purpose(colony_id=colony.pk, actor=request.user, **form.cleaned_data)
        except RuleBroken as refusal:
            form.add_error(None, str(refusal))
        else:
            messages.success(request, _("Saved."))
            return redirect("yards:colony", tag)
    heading, back = _("What colony %(tag)s is kept for") % {"tag": tag}, reverse("yards:colony", args=[tag])
    note = _("Only colonies kept for nucs count for capacity; outside the days given, this one does.")
    return form_page(request, form, heading=heading, back=back, submit=_("Save"), note=note)


def _place(colony: Colony) -> dict[str, Any]:
    return {"tag": colony, "position": colony.position, "yard": colony.yard}


def _mind_the_mark(request: HttpRequest, colony: Colony) -> None:
    """A mark of another year's colour may be right, or a queen was replaced and the year not changed."""
    if colony.queen_year and colony.queen_mark not in (Colony.Mark.UNKNOWN, Colony.Mark.NONE):
        colour = Colony.Mark(compute.colour_of_year(colony.queen_year))
        if colony.queen_mark != colour:
            words = {"mark": colony.get_queen_mark_display(), "year": colony.queen_year, "colour": colour.label}
            said = _("The queen is marked %(mark)s; queens of %(year)s are marked %(colour)s. Check the year.")
            messages.warning(request, said % words)
