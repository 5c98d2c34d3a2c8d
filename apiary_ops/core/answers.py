"""Answers that the doors of every app give: a form's page, a form sent twice, a paper to print."""

from typing import Any

from django.contrib import messages
from django.forms import Form
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render

from .once import AlreadyDone


def status_of(form: Any) -> int:
    """422 for a form (or a set of forms) that came back refused, 200 for one not sent yet."""
    return 422 if form.is_bound else 200


def form_page(request: HttpRequest, form: Form, *, heading: str, back: str, submit: str, **more: Any) -> HttpResponse:
    """A page that is one form; `back` is the address to leave for without saving. See form_page.html for `more`."""
    context = {"form": form, "heading": heading, "back": back, "submit": submit, **more}
    return render(request, "form_page.html", context, status=status_of(form))


def already_done(request: HttpRequest, done: AlreadyDone, address: str = "") -> HttpResponse:
    """A form sent twice: say so, and lead to what it made; give `address` where the result is not one itself."""
    messages.info(request, str(done))
    return redirect(address or done.result)


def pdf_file(paper: bytes, name: str) -> HttpResponse:
    """A paper opened in the browser, saved as `name`.pdf."""
    response = HttpResponse(paper, content_type="application/pdf")
    response["Content-Disposition"] = f'inline; filename="{name}.pdf"'
    return response
