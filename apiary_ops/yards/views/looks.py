"""The look entry: one colony a screen in walking order; Next saves and goes on. Works without a script."""

from collections.abc import Sequence

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_safe

from apiary_ops.core.answers import status_of
from apiary_ops.core.history import history_rows
from apiary_ops.core.once import AlreadyDone
from apiary_ops.core.versions import StaleRecord
from apiary_ops.kernel.refusals import RuleBroken
from apiary_ops.people.models import User
from apiary_ops.yards import forms, queries, services
from apiary_ops.yards.models import Visit
from apiary_ops.yards.queries import WalkStop


@require_http_methods(["GET", "POST"])
def look(request: HttpRequest, pk: int, tag: str) -> HttpResponse:
    visit = get_object_or_404(queries.visit(pk))
    stops = queries.walk(visit, request.today)
    place = _place_of(tag, stops)
    stop, following = stops[place], _address(visit, stops, place + 1)
    last = queries.look_before(visit, stop.colony, request.today)
    form = _form(request, visit, stop)
    if last and "same" in request.POST:
        form = type(form)(view=visit.view, initial=forms.same_as_last(form, last.look))
    elif form.is_valid():
        try:
            recorded = _save(form, visit, stop, request.user)
        except AlreadyDone:
            return redirect(following)
        except services.AlreadyLooked:
            form = _question(request, visit, stop)
        except StaleRecord as refusal:
            form.show_stale(refusal)
        except RuleBroken as refusal:
            form.add_error(None, str(refusal))
        else:
            return _after(request, visit, recorded, following)
    context = {
        "form": form,
        "visit": visit,
        "stop": stop,
        "place": place + 1,
        "stops": len(stops),
        "looked": sum(each.look is not None for each in stops),
        "last": last,
        "previous": _address(visit, stops, place - 1) if place else "",
        "following": following,
        "history": history_rows(stop.look) if stop.look and stop.look.version > 1 else [],
    }
    return render(request, "yards/look.html", context, status=status_of(form))


def _place_of(tag: str, stops: Sequence[WalkStop]) -> int:
    for place, stop in enumerate(stops):
        if stop.colony.tag == tag:
            return place
    raise Http404


def _address(visit: Visit, stops: Sequence[WalkStop], place: int) -> str:
    """The screen of the colony at a place of the walk; past the end, the visit."""
    if place < len(stops):
        return reverse("yards:look", args=[visit.pk, stops[place].colony.tag])
    return reverse("yards:visit", args=[visit.pk])


def _form(request: HttpRequest, visit: Visit, stop: WalkStop) -> forms.RecordLook | forms.CorrectLook:
    """A first look, or the correction of the one taken; a first look sent twice is still a first look."""
    if stop.look is None or "once_key" in request.POST:
        return forms.RecordLook(request.POST or None, view=visit.view)
    initial = {name: getattr(stop.look, name) for name in (*forms.LOOK_FIELDS, "version")}
    return forms.CorrectLook(request.POST or None, view=visit.view, initial=initial)


def _question(request: HttpRequest, visit: Visit, stop: WalkStop) -> forms.CorrectLook:
    """Two people looked at one colony: both answers, and sending again keeps the second."""
    standing = queries.look_at(visit, stop.colony)
    data = request.POST.copy()
    data["version"] = str(standing.version)
    form = forms.CorrectLook(data, view=visit.view)
    form.full_clean()
    form.show_stale(StaleRecord(standing))
    return form


def _save(
    form: forms.RecordLook | forms.CorrectLook, visit: Visit, stop: WalkStop, actor: User
) -> services.LooksRecorded:
    if isinstance(form, forms.RecordLook):
        once_key = form.cleaned_data["once_key"]
        return services.record_look(visit_id=visit.pk, look=form.draft(stop.colony.pk), actor=actor, once_key=once_key)
    return services.correct_look(
        look_id=stop.look.pk, version=form.cleaned_data["version"], changes=form.facts, actor=actor
    )


def _after(request: HttpRequest, visit: Visit, recorded: services.LooksRecorded, following: str) -> HttpResponse:
    for warning in recorded.warnings:
        messages.warning(request, warning)
    if recorded.stopped:
        return redirect("yards:stop", visit.pk)
    return redirect(following)


@require_safe
def stop_work(request: HttpRequest, pk: int) -> HttpResponse:
    """Disease is suspected: close the hive, touch no other, see where its frames went, call the inspector."""
    visit = get_object_or_404(queries.visit(pk))
    looks = list(queries.suspected_on(visit))
    if not looks:
        raise Http404
    context = {
        "visit": visit,
        "looks": looks,
        "moves": queries.moves_to_mind(visit, looks),
        "holds": queries.open_holds_of(yard_id=visit.yard_id),
    }
    return render(request, "yards/stop.html", context)
