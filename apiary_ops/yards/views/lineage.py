from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from apiary_ops.core.answers import already_done, form_page
from apiary_ops.core.once import AlreadyDone
from apiary_ops.core.versions import StaleRecord
from apiary_ops.kernel.refusals import RuleBroken
from apiary_ops.yards import forms, queries, services
from apiary_ops.yards.models import DISEASE_SUSPECTED


@require_http_methods(["GET", "POST"])
def split_colony(request: HttpRequest, tag: str) -> HttpResponse:
    parent = get_object_or_404(queries.colony_by_tag(tag))
    form = forms.SplitColony(request.POST or None, initial={"started_on": request.today, "yard": parent.yard_id})
    back = reverse("yards:colony", args=[tag])
    if form.is_valid():
        try:
            made = services.split_colony(parent_id=parent.pk, today=request.today, actor=request.user, **form.values)
        except AlreadyDone as done:
            return already_done(request, done, reverse("yards:colony", args=[form.cleaned_data["tag"]]))
        except services.TagTaken as refusal:
            form.add_error("tag", str(refusal))
        except services.PositionTaken as refusal:
            form.add_error("position", str(refusal))
        except (services.FutureDay, services.SplitBeforeStart) as refusal:
            form.add_error("started_on", str(refusal))
        except RuleBroken as refusal:
            form.add_error(None, str(refusal))
        else:
            said = _("%(tag)s is split from %(parent)s and stands at position %(position)s of %(yard)s.")
            where = {"tag": made, "parent": parent, "position": made.position, "yard": made.yard}
            messages.success(request, said % where)
            return redirect("yards:colony", made.tag)
    heading = _("Split colony %(tag)s") % {"tag": tag}
    note = _("For a colony that stays yours. Nucs for sale are made on a split day.")
    caution = _("Frames carry disease: split only what was looked over. A hold lets nothing out.")
    return form_page(request, form, heading=heading, back=back, submit=_("Split it"), note=note, caution=caution)


@require_http_methods(["GET", "POST"])
def unite_colony(request: HttpRequest, tag: str) -> HttpResponse:
    colony = get_object_or_404(queries.colony_by_tag(tag))
    initial = {"on": request.today, "version": colony.version}
    form = forms.UniteColony(request.POST or None, colony=colony, initial=initial)
    if form.is_valid():
        values = dict(form.cleaned_data)
        other = values.pop("other")
        try:
            services.unite_colonies(
                colony_id=colony.pk, into_id=other.pk, today=request.today, actor=request.user, **values
            )
        except StaleRecord as refusal:
            form.show_stale(refusal)
        except RuleBroken as refusal:
            form.add_error(None, str(refusal))
        else:
            words = {"tag": tag, "other": other}
            messages.success(request, _("%(tag)s is united into %(other)s; its position is free.") % words)
            return redirect("yards:colony", other.tag)
    heading, back = _("Unite colony %(tag)s into another") % {"tag": tag}, reverse("yards:colony", args=[tag])
    note = _("%(tag)s ends; the other keeps its tag, place and queen.") % {"tag": tag}
    caution = _("This cannot be taken back. Never unite a colony that may be sick: its disease goes with it.")
    return form_page(
        request, form, heading=heading, back=back, submit=_("Unite them"), note=note, caution=caution, danger=True
    )


@require_http_methods(["GET", "POST"])
def end_colony(request: HttpRequest, tag: str) -> HttpResponse:
    colony = get_object_or_404(queries.colony_by_tag(tag))
    form = forms.EndColony(request.POST or None, initial={"on": request.today, "version": colony.version})
    if form.is_valid():
        try:
            services.end_colony(colony_id=colony.pk, today=request.today, actor=request.user, **form.cleaned_data)
        except StaleRecord as refusal:
            form.show_stale(refusal)
        except RuleBroken as refusal:
            form.add_error(None, str(refusal))
        else:
            messages.success(request, _("%(tag)s is ended; its position is free.") % {"tag": tag})
            mind_disease(request, form.cleaned_data["cause"])
            # Found dead on a walk through the yard: the walk goes on.
            visit = request.GET.get("visit", "")
            is_walk = visit.isdecimal() and len(visit) < 19
            return redirect("yards:visit", int(visit)) if is_walk else redirect("yards:detail", colony.yard.code)
    heading, back = _("End colony %(tag)s") % {"tag": tag}, reverse("yards:colony", args=[tag])
    caution = _("This cannot be taken back: a colony that ended stays ended, with its history.")
    return form_page(request, form, heading=heading, back=back, submit=_("End it"), caution=caution, danger=True)


def mind_disease(request: HttpRequest, cause: str) -> None:
    """A hive that died of disease feeds it to every robber: say what to do at once."""
    if cause == DISEASE_SUSPECTED:
        said = _(
            "Close the hive so that no bee robs it, and take no frame from it. The yard is held: ask the inspector."
        )
        messages.warning(request, said)
