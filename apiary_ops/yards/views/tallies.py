from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_http_methods

from apiary_ops.core.answers import already_done, form_page
from apiary_ops.core.history import history_rows
from apiary_ops.core.once import AlreadyDone
from apiary_ops.core.versions import StaleRecord
from apiary_ops.kernel.refusals import RuleBroken
from apiary_ops.people.models import User
from apiary_ops.yards import forms, queries, services
from apiary_ops.yards.models import Visit
from apiary_ops.yards.queries import TallyRow


@require_http_methods(["GET", "POST"])
def tally(request: HttpRequest, pk: int) -> HttpResponse:
    """A yard counted up by eye on a visit; opened again, the same page corrects it."""
    visit = get_object_or_404(queries.visit(pk))
    standing = queries.tally_of(visit)
    form = _form(request, visit, standing)
    if form.is_valid():
        try:
            _save(form, visit, standing, request.user)
        except AlreadyDone as done:
            return already_done(request, done, reverse("yards:visit", args=[visit.pk]))
        except StaleRecord as refusal:
            form.show_stale(refusal)
        except RuleBroken as refusal:
            form.add_error(None, str(refusal))
        else:
            _say(request, visit)
            return redirect("yards:visit", visit.pk)
    stand = queries.standing_on(visit.yard_id, visit.on).count()
    note = ngettext("%(count)s colony stands here by the book.", "%(count)s colonies stand here by the book.", stand)
    return form_page(
        request,
        form,
        heading=_("Tally of %(yard)s") % {"yard": visit.yard},
        back=reverse("yards:visit", args=[visit.pk]),
        submit=_("Correct the tally") if standing else _("Record the tally"),
        note=note % {"count": stand},
        history=history_rows(standing.tally) if standing else None,
    )


def _form(request: HttpRequest, visit: Visit, standing: TallyRow | None) -> forms.RecordTally | forms.CorrectTally:
    """A first tally, or the correction of the one taken; a first one sent twice is still a first one."""
    grades = queries.grades_in_force(visit.on)
    if standing is None or "once_key" in request.POST:
        return forms.RecordTally(request.POST or None, grades=grades)
    initial = {"dead": standing.tally.dead, "version": standing.tally.version}
    counted = dict(standing.counts)
    return forms.CorrectTally(request.POST or None, grades=grades, counted=counted, initial=initial)


def _save(form: forms.RecordTally | forms.CorrectTally, visit: Visit, standing: TallyRow | None, actor: User) -> None:
    dead = form.cleaned_data["dead"]
    if isinstance(form, forms.RecordTally):
        once_key = form.cleaned_data["once_key"]
        services.record_tally(visit_id=visit.pk, counts=form.counts, dead=dead, actor=actor, once_key=once_key)
    elif standing is not None:
        version = form.cleaned_data["version"]
        services.correct_tally(tally_id=standing.tally.pk, version=version, counts=form.counts, dead=dead, actor=actor)


def _say(request: HttpRequest, visit: Visit) -> None:
    """Saved; and when the count is not the book's, that someone should look why."""
    row = queries.tally_of(visit)
    messages.success(request, _("The tally is noted."))
    if row and row.differs:
        words = _("%(counted)s were counted, but %(standing)s stand here by the book. Add or end what differs.")
        messages.warning(request, words % {"counted": row.counted, "standing": row.standing})
