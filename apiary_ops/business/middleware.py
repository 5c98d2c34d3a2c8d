"""Each request works in the business's own time zone and in one season."""

from collections.abc import Callable
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone

from apiary_ops.core import clock

from . import queries
from .models import Business

SEASON_KEY = "season"


class BusinessMiddleware:
    """Sets `request.business`, `request.season`, `request.now` and `request.today`.

    Signed-out pages cost no query here. Before a business and a season exist, pages of the work say what to do first.
    """

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        request.business = request.season = None
        request.now, request.today = clock.now(), clock.today()
        if not request.user.is_authenticated:
            return self.get_response(request)
        business = Business.objects.filter(pk=1).first()
        if business is None:
            return self.get_response(request)
        with timezone.override(business.time_zone):
            request.business = business
            request.now, request.today = clock.now(), clock.today()
            request.season = queries.current_season(request.session.get(SEASON_KEY), request.today)
            return self.get_response(request)

    def process_view(self, request: HttpRequest, view: Any, args: Any, kwargs: Any) -> HttpResponse | None:
        app = request.resolver_match.app_name if request.resolver_match else ""
        if not request.user.is_authenticated or app in ("core", "people", "admin"):
            return None
        if request.business is None or (request.season is None and app != "business"):
            return render(request, "business/first_steps.html", status=503)
        return None
