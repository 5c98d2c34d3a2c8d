"""The order's page says what its buyer was told, and promises by one press."""

import pytest
from django.urls import reverse

from apiary_ops.promise import services
from tests.factories.orders import LineFactory

pytestmark = pytest.mark.django_db


def order_page(client, line):
    return client.get(reverse("orders:order", args=[line.order.number]))


@pytest.mark.usefixtures("forecast")
def test_each_line_says_what_was_told_or_what_to_do(client, ask, season, round_, kind, sign_in):
    user = sign_in(office=True)
    promised = ask(2)
    services.promise_line(line_id=promised.pk, today=season.starts_on, actor=user)
    asked = LineFactory(order=promised.order, round=round_, kind=kind, quantity=1)
    waiting = LineFactory(order=promised.order, round=round_, kind=kind, quantity=99)
    services.promise_line(line_id=waiting.pk, today=season.starts_on, actor=user)

    page = order_page(client, promised)

    assert "Promised and told" in page.text
    assert "31 May to 20 Jun 2027" in page.text
    assert reverse("promise:tell", args=[promised.pk]) in page.text
    assert f'action="{reverse("promise:promise-line", args=[asked.pk])}"' in page.text
    assert "99 asked, 6 more are safe in a late spring" in page.text
    assert f'href="{reverse("promise:promise-line", args=[waiting.pk])}"' in page.text


@pytest.mark.usefixtures("forecast")
def test_who_may_not_promise_sees_no_button(client, ask, sign_in):
    sign_in(bookkeeper=True)
    line = ask(2)

    page = order_page(client, line)

    assert reverse("promise:promise-line", args=[line.pk]) not in page.text
