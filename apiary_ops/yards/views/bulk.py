from collections import Counter

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.translation import ngettext
from django.views.decorators.http import require_http_methods

from apiary_ops.core.answers import already_done, status_of
from apiary_ops.core.once import AlreadyDone
from apiary_ops.kernel.refusals import RuleBroken
from apiary_ops.yards import forms, queries, services
from apiary_ops.yards.models import Colony

from .lineage import mind_disease

EVERY = "every"


@require_http_methods(["GET", "POST"])
def many_colonies(request: HttpRequest, code: str) -> HttpResponse:
    """One act on the colonies ticked; ?tick=best ticks those of a grade beforehand, ?tick=every all."""
    yard = get_object_or_404(queries.yard_by_code(code))
    graded = queries.graded_colonies(request.season.pk, request.today, yard_id=yard.pk)
    ticked = request.GET.get("tick", "")
    initial = {"colonies": [row.tag for row in graded if ticked in (EVERY, row.grade) and ticked]}
    form = forms.BulkAct(request.POST or None, graded=graded, yard_id=yard.pk, today=request.today, initial=initial)
    back = reverse("yards:detail", args=[yard.code])
    if form.is_valid():
        try:
            done = _carry_out(request, form)
        except AlreadyDone as sent_twice:
            return already_done(request, sent_twice, back)
        except RuleBroken as refusal:
            form.add_error(None, str(refusal))
        else:
            messages.success(request, _summary(form, done))
            if form.cleaned_data["act"] == forms.LOST:
                mind_disease(request, form.cleaned_data["cause"])
            return redirect(back)
    grades = Counter(row.grade for row in graded if row.grade)
    context = {"yard": yard, "form": form, "grades": grades.items(), "ticked": ticked, "every": EVERY, "back": back}
    return render(request, "yards/many.html", context, status=status_of(form))


def _carry_out(request: HttpRequest, form: forms.BulkAct) -> list[Colony]:
    act, values = form.cleaned_data["act"], form.values | {"actor": request.user}
    if act == forms.KEEP:
        return services.keep_colonies_for(**values)
    if act == forms.MOVE:
        return services.move_colonies(**values)
    if act == forms.TASK:
        return services.add_tasks(season_id=request.season.pk, **values)
    if act == forms.LOST:
        return services.lose_colonies(today=request.today, **values)
    return services.change_boxes(by=1 if act == forms.BOX_ON else -1, **values)


def _summary(form: forms.BulkAct, done: list[Colony]) -> str:
    """What was done to how many, and to which."""
    words = {"said": form.said, "count": len(done), "tags": ", ".join(colony.tag for colony in done)}
    message = ngettext("%(said)s: %(count)s colony, %(tags)s.", "%(said)s: %(count)s colonies, %(tags)s.", len(done))
    return message % words
