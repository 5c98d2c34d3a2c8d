"""What several doors share: the page of a form, and the measures of the business."""

from typing import Any

from django.contrib import messages
from django.forms import Form
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render

from apiary_ops.core.once import AlreadyDone


def form_page(request: HttpRequest, form: Form, *, heading: str, back: str, submit: str, **more: Any) -> HttpResponse:
    """A form with its heading; `back` is the address to leave for without saving. A refused form answers 422."""
    context = {"form": form, "heading": heading, "back": back, "submit": submit, **more}
    return render(request, "yards/form.html", context, status=status_of(form))


def status_of(form: Form) -> int:
    return 422 if form.is_bound else 200


def already_done(request: HttpRequest, done: AlreadyDone, address: str) -> HttpResponse:
    """A form sent twice: say so, and show where it led the first time."""
    messages.info(request, str(done))
    return redirect(address)


def measures(request: HttpRequest) -> dict[str, str]:
    """The units in which people here read thermometers and odometers, for forms."""
    return {
        "temperature_unit": request.business.temperature_unit,
        "distance_unit": request.business.distance_unit,
    }
