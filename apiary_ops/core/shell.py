"""What the page frame shows but only higher apps know: they register it here, in `apps.py ready()`.

shell.register_page(20, _("Yards"), "yards:list")            # a place in the navigation
shell.register_season_line(queries.season_line)              # the strip on every office page
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from django.http import HttpRequest
from django.urls import reverse


@dataclass(frozen=True, slots=True)
class Figure:
    """A number with its meaning: `tone` is "", "mind" or "broken"; `note` explains; `url` opens the reasons."""

    label: str
    value: str
    note: str = ""
    url: str = ""
    tone: str = ""


@dataclass(frozen=True, slots=True)
class Page:
    place: int
    label: Any
    url_name: str
    is_main: bool


@dataclass(frozen=True, slots=True)
class NavLink:
    label: Any
    url: str
    is_current: bool


@dataclass(frozen=True, slots=True)
class SeasonLink:
    name: str
    url: str
    is_current: bool


SeasonLine = Callable[[HttpRequest, Any], list[Figure]]
_season_line: list[SeasonLine] = []
_pages: dict[str, Page] = {}
_search: list[str] = []


def register_page(place: int, label: Any, url_name: str, *, is_main: bool = True) -> None:
    """Put a page into the navigation; `place` orders it, main pages stand in the bar and others under "More"."""
    _pages[url_name] = Page(place, label, url_name, is_main)


def pages() -> list[Page]:
    return sorted(_pages.values(), key=lambda page: (page.place, page.url_name))


def nav_links(current: str, opens: Callable[[str], bool], *, is_main: bool) -> list[NavLink]:
    """The links a user may open; the one that is open, or else the first of the app that is open, is current."""
    here = _place_of(current)
    return [
        NavLink(page.label, reverse(page.url_name), page.url_name == here)
        for page in pages()
        if page.is_main is is_main and opens(page.url_name)
    ]


def _place_of(current: str) -> str:
    """The registered page that an open page belongs to; nothing for a page of no place."""
    own = [page.url_name for page in pages() if page.url_name.split(":")[0] == current.split(":")[0]]
    return current if current in own else next(iter(own), "")


def register_search(url_name: str) -> None:
    """The page behind the search box."""
    _search[:] = [url_name]


def search_page() -> str:
    return _search[0] if _search else ""


def register_season_line(maker: SeasonLine) -> None:
    _season_line[:] = [maker]


def season_line(request: HttpRequest, season: Any) -> list[Figure]:
    return _season_line[0](request, season) if _season_line and season is not None else []
