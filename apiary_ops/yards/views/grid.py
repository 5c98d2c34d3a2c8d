from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_http_methods

from apiary_ops.core.answers import already_done, status_of
from apiary_ops.core.once import AlreadyDone
from apiary_ops.kernel.refusals import RuleBroken
from apiary_ops.people.models import User
from apiary_ops.yards import forms, queries, services
from apiary_ops.yards.models import Visit


@require_http_methods(["GET", "POST"])
def grid(request: HttpRequest, pk: int) -> HttpResponse:
    """A visit's looks typed from paper: one row a colony in walking order, sent at once, all or none."""
    visit = get_object_or_404(queries.visit(pk))
    sheet = forms.Grid(queries.walk(visit, request.today), request.POST or None)
    back = reverse("yards:visit", args=[visit.pk])
    if sheet.is_valid():
        try:
            recorded = _save(sheet, visit, request.user)
        except AlreadyDone as done:
            return already_done(request, done, back)
        except RuleBroken as refusal:
            sheet.add_error(str(refusal))
        else:
            _say(request, recorded)
            return redirect(back)
    return render(request, "yards/grid.html", {"visit": visit, "grid": sheet, "back": back}, status=status_of(sheet))


def _save(sheet: forms.Grid, visit: Visit, actor: User) -> services.LooksRecorded:
    return services.record_grid(
        visit_id=visit.pk,
        looks=sheet.drafts,
        corrections=sheet.corrections,
        actor=actor,
        once_key=sheet.head.cleaned_data["once_key"],
    )


def _say(request: HttpRequest, recorded: services.LooksRecorded) -> None:
    count = len(recorded.looks)
    words = ngettext("%(count)s colony is noted.", "%(count)s colonies are noted.", count)
    messages.success(request, words % {"count": count} if count else _("Nothing was typed; nothing changed."))
    for warning in recorded.warnings:
        messages.warning(request, warning)
