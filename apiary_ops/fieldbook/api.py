"""The doors of a phone's own program: JSON in and out. Who may come in is decided by people.middleware, in JSON too."""

import json
from typing import Any

from django.contrib.auth.decorators import login_not_required
from django.core.exceptions import RequestDataTooBig
from django.db import OperationalError
from django.http import HttpRequest, JsonResponse
from django.middleware.csrf import get_token
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST, require_safe

from apiary_ops.kernel.refusals import RuleBroken

from . import queries, registry, services

MOST_RECORDS = 50


class BadBody(RuleBroken):
    pass


@login_not_required
@never_cache
@require_safe
def session(request: HttpRequest) -> JsonResponse:
    """Who is signed in, the token that posting needs, and the day at the desk."""
    user = {"id": request.user.pk, "name": str(request.user)}
    today = request.today.isoformat()
    return JsonResponse({"user": user, "csrf": get_token(request), "today": today, "version": registry.VERSION})


@login_not_required
@never_cache
@require_safe
def yards(request: HttpRequest) -> JsonResponse:
    return JsonResponse(registry.yards(request.today, request.season), safe=False)


@login_not_required
@never_cache
@require_safe
def pack(request: HttpRequest, code: str) -> JsonResponse:
    parts = registry.packed(request.user, code, request.today, request.season)
    if parts is None:
        return JsonResponse({"error": _("No yard in use has the code %(code)s.") % {"code": code}}, status=404)
    head = {
        "version": registry.VERSION,
        "packed_at": request.now.isoformat(),
        "today": request.today.isoformat(),
        "season": {"id": request.season.pk, "year": request.season.year},
        "units": queries.units(request.business),
        "crew": queries.crew(request.user),
    }
    return JsonResponse(head | parts)


@login_not_required
@never_cache
@require_POST
def records(request: HttpRequest) -> JsonResponse:
    """What a phone recorded: each gets its own outcome, in order. The same again is answered the same."""
    try:
        sent = _records_in(request)
    except BadBody as refusal:
        return JsonResponse({"error": str(refusal)}, status=400)
    try:
        outcomes = services.land_records(records=sent, sent_by=request.user, received_at=request.now)
    except OperationalError:
        # The database is busy or gone: what landed has landed, and all of it may be sent again.
        return JsonResponse({"error": _("The desk is busy. Everything may be sent again.")}, status=503)
    told = [{"key": outcome.key, "state": outcome.state, "words": outcome.words} for outcome in outcomes]
    return JsonResponse({"outcomes": told})


def _records_in(request: HttpRequest) -> list[Any]:
    try:
        body = json.loads(request.body)
    except RequestDataTooBig:
        raise BadBody(_("That is too much at once. Send fewer records.")) from None
    except (ValueError, RecursionError):
        raise BadBody(_("This is not JSON.")) from None
    sent = body.get("records") if isinstance(body, dict) else None
    if not isinstance(sent, list):
        raise BadBody(_("Send {“records”: [ … ]}."))
    if len(sent) > MOST_RECORDS:
        raise BadBody(
            _("At most %(most)s records at once; these are %(sent)s.") % {"most": MOST_RECORDS, "sent": len(sent)}
        )
    return sent
