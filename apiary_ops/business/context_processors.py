from datetime import datetime
from typing import Any

from django.conf import settings
from django.http import HttpRequest
from django.shortcuts import resolve_url
from django.urls import reverse
from django.utils.functional import cached_property

from apiary_ops.core import clock
from apiary_ops.core import shell as frame
from apiary_ops.people.access import may_open

from . import queries


class Shell:
    """What the page frame shows; each part is worked out only when the template asks for it."""

    def __init__(self, request: HttpRequest) -> None:
        self.request = request
        self.user = request.user
        self.business = getattr(request, "business", None)
        self.season = getattr(request, "season", None)

    @property
    def business_name(self) -> str:
        return self.business.name if self.business else ""

    @property
    def currency(self) -> str:
        return self.business.currency if self.business else ""

    @property
    def sees_prices(self) -> bool:
        return self.user.sees_prices

    @property
    def nav(self) -> list[frame.NavLink]:
        return frame.nav_links(self._current, self._opens, is_main=True)

    @property
    def more(self) -> list[frame.NavLink]:
        return frame.nav_links(self._current, self._opens, is_main=False)

    @cached_property
    def seasons(self) -> list[frame.SeasonLink]:
        if not self._opens("business:season-choose"):
            return []
        return [
            frame.SeasonLink(str(season), reverse("business:season-choose", args=[season.year]), season == self.season)
            for season in queries.seasons()
        ]

    @cached_property
    def season_line(self) -> list[frame.Figure]:
        return frame.season_line(self.request, self.season) if self.user.is_authenticated else []

    @property
    def can_search(self) -> bool:
        return self._opens(frame.search_page())

    @property
    def is_searching(self) -> bool:
        return self._current == frame.search_page()

    @property
    def now(self) -> datetime:
        """When the page was made, as papers say it."""
        return clock.now()

    @property
    def search_url(self) -> str:
        return reverse(frame.search_page())

    @property
    def account_url(self) -> str:
        return reverse("people:password")

    @property
    def home_url(self) -> str:
        return resolve_url(settings.LOGIN_REDIRECT_URL)

    def _opens(self, page: str) -> bool:
        return self.user.is_authenticated and may_open(self.user.role, page)

    @property
    def _current(self) -> str:
        match = self.request.resolver_match
        return match.view_name if match else ""


def shell(request: HttpRequest) -> dict[str, Any]:
    return {"shell": Shell(request)} if hasattr(request, "user") else {}
