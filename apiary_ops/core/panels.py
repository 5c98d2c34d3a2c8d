"""Panels: a higher app shows its facts on a lower record's page without the lower app knowing it.

core.panels.register("colony", nucs.panels.donated_frames)      # in apps.py ready()
{% for panel in panels %}{% include panel.template with panel=panel %}{% endfor %}
"""

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

from django.http import HttpRequest


@dataclass(frozen=True, slots=True)
class Panel:
    """What components/_panel.html draws: `template` is given the panel as `panel`, with its facts in `context`."""

    key: str
    heading: str
    template: str
    context: dict[str, Any] = field(default_factory=dict)
    note: str = ""
    url: str = ""
    label: str = ""


PanelMaker = Callable[[HttpRequest, Any], Panel | None]
_makers: dict[str, list[PanelMaker]] = {}


def register(record_kind: str, maker: PanelMaker) -> None:
    """Add a panel to the page of `record_kind` ("colony", "buyer", ...); order of registration is order on the page."""
    makers = _makers.setdefault(record_kind, [])
    if maker not in makers:
        makers.append(maker)


def panels_for(record_kind: str, request: HttpRequest, record: Any) -> list[Panel]:
    """The panels of a record, leaving out those that have nothing to say to this user."""
    made = (maker(request, record) for maker in _makers.get(record_kind, []))
    return [panel for panel in made if panel is not None]
