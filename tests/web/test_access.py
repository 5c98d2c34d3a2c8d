"""Every page × every role × signed out: open, denied or sign in, exactly as people.access says."""

import pytest
from django.conf import settings
from django.urls import URLPattern, URLResolver, get_resolver, resolve, reverse

from apiary_ops.people.access import ACCESS, EVERYONE, JSON_PAGES, OPEN_PAGES, may_open
from tests.factories.business import BusinessFactory, SeasonFactory
from tests.factories.people import UserFactory

# An argument for every name a URL takes; 404 behind an open door is not a denial.
ARGUMENTS = {"int": 999_999, "str": "nothing", "slug": "nothing", "uuid": "00000000-0000-0000-0000-000000000000"}


def named_pages() -> dict[str, str]:
    """URL name -> an address of it, for every page of the project (the admin window apart)."""
    found: dict[str, str] = {}

    def walk(resolver: URLResolver, namespace: str) -> None:
        for pattern in resolver.url_patterns:
            if isinstance(pattern, URLResolver):
                if pattern.app_name != "admin":
                    walk(pattern, pattern.app_name or namespace)
            elif isinstance(pattern, URLPattern):
                name = f"{namespace}:{pattern.name}" if namespace else str(pattern.name)
                converters = pattern.pattern.converters
                kwargs = {
                    key: ARGUMENTS[type(c).__name__.removesuffix("Converter").lower().replace("string", "str")]
                    for key, c in converters.items()
                }
                found[name] = reverse(name, kwargs=kwargs)

    walk(get_resolver(), "")
    return found


PAGES = named_pages()


def test_the_access_table_names_every_page_and_only_pages():
    assert set(PAGES) == set(ACCESS) | OPEN_PAGES


def test_every_address_resolves_to_its_own_page():
    for page, address in PAGES.items():
        assert resolve(address).view_name == page


@pytest.fixture
def desk(db):
    BusinessFactory()
    SeasonFactory()
    return {role: UserFactory(role=role) for role in sorted(EVERYONE)}


@pytest.mark.parametrize("role", sorted(EVERYONE))
def test_a_role_opens_the_pages_of_its_row_and_no_other(client, desk, role):
    wrong = []
    for page, address in PAGES.items():
        client.force_login(desk[role])

        status = client.get(address).status_code

        if (status == 403) is may_open(role, page) or status >= 500:
            wrong.append((page, status))
    assert wrong == []


@pytest.mark.django_db
def test_nobody_signed_out_sees_more_than_sign_in_and_health(client):
    BusinessFactory()
    for page, address in PAGES.items():
        response = client.get(address)

        if page in OPEN_PAGES:
            assert response.status_code in (200, 503), page
        elif page in JSON_PAGES:
            assert (response.status_code, response.json()) == (401, {"error": "signed out"}), page
        else:
            assert response.status_code == 302, page
            assert response.url.startswith(reverse(settings.LOGIN_URL)), page


def test_the_records_window_opens_for_a_superuser_only(client, desk):
    client.force_login(desk["owner"])

    assert client.get("/records/").status_code == 403


@pytest.mark.parametrize(
    "address",
    ["/search/?q=a%00b", "/yards/colonies/a%00b/", "/pickups/gate/%00/", "/nucs/?state=%00", "/orders/?sort=%00"],
)
def test_an_address_with_a_nul_is_a_bad_request_on_either_engine(client, desk, address):
    client.force_login(desk["owner"])

    assert client.get(address).status_code == 400


def test_a_forged_post_without_its_token_is_refused(desk):
    from django.test import Client

    careful = Client(enforce_csrf_checks=True)
    careful.force_login(desk["owner"])

    assert careful.post(reverse("people:add"), {}).status_code == 403
