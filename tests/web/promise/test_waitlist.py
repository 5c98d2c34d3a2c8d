"""Who waits, in the order they are served, and who would fit now."""

import pytest
from django.urls import reverse

pytestmark = pytest.mark.django_db

PAGE = reverse("promise:waitlist")


def test_when_nobody_waits_the_page_says_so(client, season, kind, sign_in):
    sign_in(office=True)

    page = client.get(PAGE)

    assert page.status_code == 200
    assert "Nobody waits." in page.text


@pytest.mark.usefixtures("forecast")
def test_whoever_fits_has_a_button(client, ask, sign_in):
    sign_in(office=True)
    small, large = ask(3, "Ada Fell", state="waiting"), ask(200, "Ivo Marsh", state="waiting")

    page = client.get(PAGE)

    assert page.text.index("Ada Fell") < page.text.index("Ivo Marsh")
    assert f"{reverse('promise:promise-line', args=[small.pk])}?back=waitlist" in page.text
    assert reverse("promise:promise-line", args=[large.pk]) not in page.text
    assert "not yet" in page.text


@pytest.mark.usefixtures("forecast")
def test_why_they_wait_stands_beside_them(client, ask, sign_in):
    sign_in(office=True)
    line = ask(9)
    client.post(reverse("promise:promise-line", args=[line.pk]))

    assert "9 asked, 8 more are safe in a late spring" in client.get(PAGE).text


@pytest.mark.usefixtures("forecast")
def test_a_longer_waitlist_asks_the_database_no_more(client, ask, sign_in, django_assert_max_num_queries):
    sign_in(office=True)
    for _ in range(20):
        ask(1, state="waiting")

    with django_assert_max_num_queries(26):
        assert client.get(PAGE).status_code == 200
