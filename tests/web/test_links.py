"""Every link a role is shown opens for it: no page sends its reader to a door that stays shut."""

import re
from datetime import date

import pytest

from apiary_ops.people.models import Role
from tests.factories.people import UserFactory

LINK = re.compile(r'<a [^>]*href="(/[^"#?]*)')
DIGITS = re.compile(r"\d[\d-]*")
OF_A_SHAPE = 2  # pages alike but for their numbers


@pytest.mark.parametrize("role", [role for role in Role.values if role != Role.OWNER])
def test_every_link_a_role_is_shown_opens_for_it(tiny, client, settings, role):
    settings.PRETENDED_TODAY = date(2027, 6, 9)
    client.force_login(UserFactory(role=role))
    seen, shapes, shut = {"/": ""}, {}, []
    waiting = ["/"]

    while waiting:
        url = waiting.pop(0)
        response = client.get(url)
        if response.status_code >= 400:
            shut.append((response.status_code, url, seen[url]))
        if "html" not in response.get("Content-Type", ""):
            continue
        for link in LINK.findall(response.text):
            shape = DIGITS.sub("N", link)
            if link not in seen and shapes.get(shape, 0) < OF_A_SHAPE:
                seen[link], shapes[shape] = url, shapes.get(shape, 0) + 1
                waiting.append(link)

    assert shut == []
    assert len(seen) > 10
