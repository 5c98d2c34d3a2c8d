"""Main pages can be used by everyone: no axe violation, no sideways scroll, wide and on a phone, light and dark."""

import pytest
from axe_playwright_python.sync_playwright import Axe

from tests.browser.conftest import no_sideways_scroll
from tests.browser.test_season_journey import sign_in, tiny  # noqa: F401  (a fixture)

PAGES = (
    "/",
    "/yards/",
    "/yards/at/alder/",
    "/yards/colonies/C01/",
    "/capacity/",
    "/queens/",
    "/nucs/",
    "/orders/",
    "/promise/",
    "/allocation/",
    "/pickups/",
    "/pickups/gate/",
    "/billing/",
    "/books/",
    "/books/accounts/",
    "/costs/bills/",
    "/margin/",
    "/closing/",
    "/settings/edit/",
    "/people/add/",
    "/nowhere/",
)


@pytest.mark.browser
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_main_pages_can_be_used_by_everyone(page, live_server, tiny, scheme):  # noqa: F811
    page.emulate_media(color_scheme=scheme)
    sign_in(page, live_server.url, tiny.owner.username)
    wrong = []

    for path in PAGES:
        page.goto(live_server.url + path)
        found = Axe().run(page).response["violations"]
        wrong += [(path, rule["id"], rule["nodes"][0]["html"][:120]) for rule in found]
        if not no_sideways_scroll(page):
            wrong.append((path, "scrolls sideways", ""))

    assert wrong == []
