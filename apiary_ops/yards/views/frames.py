from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from apiary_ops.core.answers import already_done, form_page
from apiary_ops.core.once import AlreadyDone
from apiary_ops.kernel.refusals import RuleBroken
from apiary_ops.yards import forms, queries, services


@require_http_methods(["GET", "POST"])
def move_frames(request: HttpRequest, tag: str) -> HttpResponse:
    colony = get_object_or_404(queries.colony_by_tag(tag))
    form = forms.MoveFrames(request.POST or None, initial={"on": request.today})
    back = reverse("yards:colony", args=[tag])
    if form.is_valid():
        try:
            move = services.move_frames(today=request.today, actor=request.user, **form.values_for(colony))
        except AlreadyDone as done:
            return already_done(request, done, back)
        except services.SameColony as refusal:
            form.add_error("other", str(refusal))
        except services.NoFrames as refusal:
            form.add_error("brood_frames", str(refusal))
        except services.FutureDay as refusal:
            form.add_error("on", str(refusal))
        except RuleBroken as refusal:
            form.add_error(None, str(refusal))
        else:
            words = {"frames": move.words, "giver": move.from_colony, "taker": move.to_colony}
            messages.success(request, _("%(giver)s gave %(taker)s %(frames)s.") % words)
            return redirect(back)
    heading = _("Frames moved to or from colony %(tag)s") % {"tag": tag}
    note = _("Between colonies of your own, to level a yard. Frames for nucs are recorded on the split day.")
    caution = _("Frames carry disease: take none from a colony that was not looked over, or from a dead one.")
    return form_page(request, form, heading=heading, back=back, submit=_("Record it"), note=note, caution=caution)


@require_http_methods(["GET", "POST"])
def strike_frame_move(request: HttpRequest, pk: int) -> HttpResponse:
    move = get_object_or_404(queries.frame_move(pk))
    form = forms.StrikeFrameMove(request.POST or None)
    back = reverse("yards:colony", args=[move.from_colony.tag])
    if form.is_valid():
        try:
            services.strike_frame_move(move_id=move.pk, on=request.today, actor=request.user, **form.cleaned_data)
        except RuleBroken as refusal:
            form.add_error(None, str(refusal))
        else:
            messages.success(request, _("The move is struck. Record the right one if there was one."))
            return redirect(back)
    words = {"frames": move.words, "giver": move.from_colony, "taker": move.to_colony}
    heading = _("Strike a move of frames")
    note = _("%(giver)s gave %(taker)s %(frames)s.") % words
    caution = _("A struck move stays to be read, with the reason, but no longer counts in a trace of disease.")
    return form_page(
        request, form, heading=heading, back=back, submit=_("Strike it"), note=note, caution=caution, danger=True
    )
