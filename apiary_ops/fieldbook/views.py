import json
from uuid import UUID

from django.contrib import messages
from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.template.loader import render_to_string
from django.urls import reverse
from django.utils.translation import gettext_lazy as _
from django.views.decorators.http import require_http_methods, require_safe

from apiary_ops.core.answers import status_of
from apiary_ops.core.tables import table_for
from apiary_ops.kernel.refusals import RuleBroken

from . import filters, forms, queries, services, tables
from .models import Record
from .shell import icons, shell_html
from .shell import shell as the_shell

MOST_SHOWN = 2_000
SETTLED = {
    Record.State.LANDED: _("It has landed."),
    Record.State.DROPPED: _("It is set aside."),
    Record.State.QUESTION: _("It could land now, but someone else said otherwise. Choose between the two."),
}


@login_not_required
@require_safe
def shell(request: HttpRequest) -> HttpResponse:
    """The page that works without signal; what it shows comes from the phone's own store."""
    response = HttpResponse(shell_html())
    response["Cache-Control"] = "no-cache"
    return response


@login_not_required
@require_safe
def worker(request: HttpRequest) -> HttpResponse:
    """The service worker: it keeps the shell, and is new whenever a byte of that is."""
    kept = the_shell()
    context = {"version": kept.version, "assets": json.dumps(kept.assets)}
    script = render_to_string("fieldbook/worker.js", context)
    response = HttpResponse(script, content_type="text/javascript; charset=utf-8")
    response["Cache-Control"] = "no-cache"
    return response


@login_not_required
@require_safe
def manifest(request: HttpRequest) -> JsonResponse:
    """What a phone needs to put the field book beside its other programs."""
    facts = {
        "name": str(_("Field book")),
        "short_name": str(_("Field book")),
        "id": reverse("fieldbook:shell"),
        "start_url": reverse("fieldbook:shell"),
        "scope": reverse("fieldbook:shell"),
        "display": "standalone",
        "orientation": "portrait",
        "background_color": "#f8f4ea",
        "theme_color": "#1d5a3b",
        "icons": icons(),
    }
    return JsonResponse(facts, content_type="application/manifest+json")


@require_safe
def exceptions(request: HttpRequest) -> HttpResponse:
    """What came from the yards and waits for a person, or whatever else is asked for."""
    chosen = filters.RecordFilters(request.GET, queryset=queries.records(), request=request)
    table = table_for(request, tables.RecordTable, queries.waiting(chosen.qs[:MOST_SHOWN]))
    return render(request, "fieldbook/exceptions.html", {"table": table, "filters": chosen})


@require_http_methods(["GET", "POST"])
def settle(request: HttpRequest, key: UUID) -> HttpResponse:
    """One record: what was said, what stands, and what is to become of it."""
    record = get_object_or_404(queries.record(key))
    form = forms.Settle(request.POST or None, record=record)
    if form.is_valid():
        try:
            settled = services.settle_record(key=key, at=request.now, actor=request.user, **form.cleaned_data)
        except services.ReasonMissing as refusal:
            form.add_error("because", str(refusal))
        except RuleBroken as refusal:
            form.add_error(None, str(refusal))
        else:
            messages.success(request, SETTLED[settled.state])
            return redirect("fieldbook:exceptions" if settled.state != Record.State.QUESTION else request.path)
    context = {
        "record": record,
        "what": queries.name_of(record),
        "told": queries.told(record),
        "address": queries.address_of(record),
        "hanging": queries.hanging_on(record.pk).count(),
        "is_open": record.state in services.ACTS,
        "form": form,
        "as_sent": json.dumps(record.payload, indent=2, ensure_ascii=False),
    }
    return render(request, "fieldbook/settle.html", context, status=status_of(form))
