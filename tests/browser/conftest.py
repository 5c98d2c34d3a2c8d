"""A real browser against a real server: pages are driven as a person would, wide and phone-sized."""

import os
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, ConsoleMessage, Page, sync_playwright

FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]
SIZES = {"wide": {"width": 1280, "height": 900}, "phone": {"width": 390, "height": 844}}
SHOTS = Path(__file__).parent / "shots"


def pytest_collection_modifyitems(items):
    here = Path(__file__).parent
    for item in items:
        if here in Path(item.fspath).parents:
            item.add_marker(pytest.mark.browser)
            if chromium() is None:
                item.add_marker(pytest.mark.skip(reason="no Chromium here (set APIARY_CHROMIUM)"))


def chromium() -> str | None:
    names = (os.environ.get("APIARY_CHROMIUM", ""), "chromium", "chromium-browser", "google-chrome")
    return next((path for name in names if name and (path := shutil.which(name))), None)


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=chromium(), args=FLAGS)
        yield browser
        browser.close()


@pytest.fixture(params=list(SIZES))
def page(request, browser) -> Iterator[Page]:
    """A fresh page of each size; a script error or a blocked resource fails the test."""
    context = browser.new_context(viewport=SIZES[request.param])
    page = context.new_page()
    page.set_default_timeout(10_000)
    troubles: list[str] = []
    page.on("pageerror", lambda error: troubles.append(str(error)))
    page.on(
        "console",
        lambda said: troubles.append(said.text) if said.type == "error" and "status of 4" not in said.text else None,
    )
    page.size_name = request.param
    yield page
    context.close()
    assert troubles == []


def is_trouble(said: ConsoleMessage) -> bool:
    """A refused form answers 422 and a missing page 404, which the console calls errors; all else it calls one is."""
    return said.type == "error" and not any(f"status of {code}" in said.text for code in (404, 422))


@pytest.fixture
def shot(page, request):
    """Keep a picture of the page (tests/browser/shots, not in git) for people to look at."""

    def take(name: str) -> None:
        SHOTS.mkdir(exist_ok=True)
        page.screenshot(path=SHOTS / f"{name}-{page.size_name}.png", full_page=True)

    return take


def no_sideways_scroll(page: Page) -> bool:
    """The page itself never scrolls sideways; wide tables scroll inside their own frame."""
    return page.evaluate("document.documentElement.scrollWidth <= document.documentElement.clientWidth")
