import json

from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.template.loader import render_to_string
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from .shell import icons, shell_html
from .shell import shell as the_shell


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
        "name": _("Field book"),
        "short_name": _("Field book"),
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
