"""The answers that several of these doors give."""

from typing import Any

from django.contrib import messages
from django.forms import Form
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse

from apiary_ops.core.once import AlreadyDone
from apiary_ops.kernel.refusals import RuleBroken
from apiary_ops.nucs import services
from apiary_ops.queens.services import NotLandedYet, QueensNotThere

# The field beside which a refusal is shown; where the form has none of them, it stands above the form.
_BESIDE: dict[type[RuleBroken], tuple[str, ...]] = {
    services.SplitDayThere: ("on",),
    services.OutsideSeason: ("on",),
    services.NoNucsAsked: ("size",),
    services.MadeBeforeSplitDay: ("made_on",),
    services.WhichLot: ("lot",),
    services.YardOnHold: ("stands_at",),
    services.QueenTooEarly: ("queen_in_on", "on"),
    services.EndedTooEarly: ("on",),
    services.CauseMissing: ("cause", "reason"),
    services.KindExists: ("code",),
    QueensNotThere: ("lot",),
    NotLandedYet: ("queen_in_on", "on"),
}


def refuse(form: Form, refusal: RuleBroken) -> None:
    """Show a refusal beside its field."""
    field = next((name for name in _BESIDE.get(type(refusal), ()) if name in form.fields), None)
    form.add_error(field, str(refusal))


def already(request: HttpRequest, done: AlreadyDone) -> HttpResponse:
    """Lead to what a form sent twice has made."""
    messages.info(request, str(done))
    return redirect(done.result)


def form_page(
    request: HttpRequest, form: Form, heading: str, submit_label: str, back: str, *back_args: Any, **more: Any
) -> HttpResponse:
    """A page that is one form; 422 when it was refused."""
    context = {"form": form, "heading": heading, "submit_label": submit_label, "back": reverse(back, args=back_args)}
    return render(request, "nucs/form.html", {**context, **more}, status=422 if form.is_bound else 200)
