"""Each request works in the business's own time zone and in one season."""

from collections.abc import Callable

from django.http import HttpRequest, HttpResponse
from django.utils import timezone

from . import queries
from .models import Business

SEASON_KEY = "season"


class BusinessMiddleware:
    """Sets `request.business`, `request.season` and `request.today`; open and static pages stay without a query."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        request.business = request.season = None
        request.today = timezone.localdate()
        if not request.user.is_authenticated:
            return self.get_response(request)
        business = Business.objects.filter(pk=1).first()
        if business is None:
            return self.get_response(request)
        with timezone.override(business.time_zone):
            request.business = business
            request.today = timezone.localdate()
            request.season = queries.current_season(request.session.get(SEASON_KEY), request.today)
            return self.get_response(request)
