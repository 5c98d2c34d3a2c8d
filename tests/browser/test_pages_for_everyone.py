"""Main pages can be used by everyone: no axe violation, no sideways scroll, wide and on a phone, light and dark."""

import pytest
from axe_playwright_python.sync_playwright import Axe

from apiary_ops.yards.models import Visit
from tests.browser.conftest import no_sideways_scroll
from tests.browser.test_season_journey import sign_in, tiny  # noqa: F401  (a fixture)

PAGES = (
    "/",
    "/yards/",
    "/yards/at/alder/",
    "/yards/at/alder/edit/",
    "/yards/at/alder/colonies/",
    "/yards/at/alder/visits/start/",
    "/yards/at/alder/treatments/give/",
    "/yards/colonies/C01/",
    "/yards/colonies/C01/split/",
    "/yards/certificates/",
    "/yards/visits/",
    "/yards/tasks/",
    "/yards/tasks/rules/",
    "/yards/health/",
    "/yards/health/queens/",
    "/yards/next/",
    "/yards/change/",
    "/yards/rules/",
    "/yards/rules/change/",
    "/capacity/",
    "/capacity/own-factors/",
    "/capacity/swarm-watch/",
    "/field/exceptions/",
    "/tables/",
    "/tables/colonies/give/",
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


def pages_of(visit: Visit) -> list[str]:
    """The pages of a visit, with the look at the first colony it saw."""
    tag = visit.looks.earliest("pk").colony.tag
    return [f"/yards/visits/{visit.pk}/{page}" for page in ("", "grid/", "tally/", "leave/", f"looks/{tag}/")]


@pytest.mark.browser
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_main_pages_can_be_used_by_everyone(page, live_server, tiny, scheme):  # noqa: F811
    page.emulate_media(color_scheme=scheme)
    sign_in(page, live_server.url, tiny.owner.username)
    wrong = []

    for path in (*PAGES, *pages_of(Visit.objects.filter(looks__isnull=False).latest("pk"))):
        page.goto(live_server.url + path)
        found = Axe().run(page).response["violations"]
        wrong += [(path, rule["id"], rule["nodes"][0]["html"][:120]) for rule in found]
        if not no_sideways_scroll(page):
            wrong.append((path, "scrolls sideways", ""))

    assert wrong == []
