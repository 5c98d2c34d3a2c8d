"""The shell a phone keeps: one page and its files, the same bytes for everyone, under one version."""

import hashlib
import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from django.conf import settings
from django.contrib.staticfiles import finders
from django.template.loader import render_to_string
from django.templatetags.static import static
from django.urls import reverse

FOLDER = Path(__file__).parent / "static" / "fieldbook"


@dataclass(frozen=True, slots=True)
class Shell:
    """The page, the addresses to keep with it, and the version that changes with any byte of them."""

    html: str
    assets: list[str]
    version: str


def shell_html() -> str:
    """The page, drawn without a request: nothing of a person or a session can get into it."""
    return render_to_string("fieldbook/shell.html")


def shell() -> Shell:
    """The shell as it stands on this server."""
    html = shell_html()
    digest = hashlib.sha256(html.encode())
    addresses = {reverse("fieldbook:shell"), reverse("fieldbook:manifest")}
    for name in sorted({*_own_files(), *_named_in(html)}):
        found = finders.find(name)
        if not found:
            continue
        digest.update(name.encode() + b"\0" + Path(found).read_bytes())
        # Modules import each other by their plain names; the page names files as the storage does, with their hash.
        addresses |= {static(name), settings.STATIC_URL + name}
    return Shell(html, sorted(addresses), digest.hexdigest()[:16])


def icons() -> list[dict[str, str]]:
    """The pictures for a phone's home screen: icon-192.png and its like, and the one that fits any size."""
    rows = [
        {"src": static(f"fieldbook/{path.name}"), "sizes": f"{size}x{size}", "type": "image/png"}
        for path in sorted(FOLDER.glob("icon-*.png"))
        for size in re.findall(r"^icon-(\d+)$", path.stem)
    ]
    return [*rows, {"src": static("core/favicon.svg"), "sizes": "any", "type": "image/svg+xml"}]


def _own_files() -> Iterator[str]:
    for path in FOLDER.rglob("*"):
        if path.is_file() and path.suffix != ".txt":
            yield f"fieldbook/{path.relative_to(FOLDER).as_posix()}"


def _named_in(html: str) -> Iterator[str]:
    """Static files the page names, by the names they have in the source."""
    for address in re.findall(rf'(?:src|href)="{re.escape(settings.STATIC_URL)}([^"?#]+)"', html):
        yield re.sub(r"\.[0-9a-f]{12}(\.\w+)$", r"\1", address)
