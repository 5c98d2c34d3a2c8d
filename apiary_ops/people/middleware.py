"""The access table, applied to every request after sign-in."""

from collections.abc import Callable
from typing import Any

from django.conf import settings
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.utils.translation import gettext as _

from .access import ACCESS, JSON_PAGES, OPEN_PAGES, may_open


class AccessMiddleware:
    """Refuses pages the user's role does not open. Sign-in itself is asked for by LoginRequiredMiddleware before.

    The doors of JSON_PAGES opt out of that (login_not_required): they are answered here, in JSON.
    """

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        return self.get_response(request)

    def process_view(self, request: HttpRequest, view: Any, args: Any, kwargs: Any) -> HttpResponse | None:
        match = request.resolver_match
        if match is None or match.view_name in OPEN_PAGES:
            return None
        if match.view_name in JSON_PAGES:
            return self.answer_in_json(request, match.view_name)
        if match.app_name == "admin":
            if request.user.is_authenticated and not request.user.is_superuser:
                raise PermissionDenied
            return None
        if match.view_name not in ACCESS and settings.DEBUG:
            raise PermissionDenied(f"The page {match.view_name} is missing from people.access.ACCESS.")
        if not may_open(request.user.role, match.view_name):
            raise PermissionDenied
        return None

    def answer_in_json(self, request: HttpRequest, page: str) -> HttpResponse | None:
        if not request.user.is_authenticated:
            return JsonResponse({"error": _("signed out")}, status=401)
        if not may_open(request.user.role, page):
            return JsonResponse({"error": _("Your role does not open the field book.")}, status=403)
        return None
