from datetime import date
from uuid import uuid4

import pytest
from django.urls import reverse

from apiary_ops.books import queries, services

pytestmark = pytest.mark.django_db


@pytest.fixture
def entry(keeper, post):
    return post("manual:1", 75_00, memo="Deposit of Willa Marsh")


def test_an_entry_shows_both_sides_and_where_it_comes_from(client, entry):
    page = client.get(reverse("books:entry", args=[entry.pk]))

    assert page.status_code == 200
    for words in ("Deposit of Willa Marsh", "Sat 9 Jan 2027", "1010 Bank", "2020 Deposits held", "75.00", "Sep 2026"):
        assert words in page.text, words


def test_an_entry_that_is_not_there_is_not_found(client, keeper):
    assert client.get(reverse("books:entry", args=[9])).status_code == 404


def test_an_entry_is_reversed_with_a_reason_and_both_lead_to_each_other(client, entry):
    fields = {"once_key": uuid4(), "reversed_on": "2027-01-11", "reason": "Paid by someone else"}

    response = client.post(reverse("books:reverse", args=[entry.pk]), fields)

    reversal = queries.entry(entry.pk).reversed_by
    assert response.url == reverse("books:entry", args=[reversal.pk])
    assert (reversal.posted_on, reversal.memo) == (date(2027, 1, 11), "Reversed: Paid by someone else")
    assert queries.balance("bank") == 0
    assert response.url in client.get(reverse("books:entry", args=[entry.pk])).text
    assert reverse("books:entry", args=[entry.pk]) in client.get(response.url).text


def test_what_came_from_another_page_is_not_reversed_in_the_books(client, keeper, post):
    entry = post("bill:3/H-42", 75_00)
    page = client.get(reverse("books:entry", args=[entry.pk]))
    assert "A mistake is put right there, and the books follow." in page.text
    assert "Reverse it" not in page.text

    fields = {"once_key": uuid4(), "reversed_on": "2027-01-11", "reason": "Mistaken"}
    response = client.post(reverse("books:reverse", args=[entry.pk]), fields)

    assert response.status_code == 422
    assert "This entry came from bill:3/H-42. Put it right there, and the books follow." in response.text


def test_a_reversal_into_a_locked_period_is_refused_and_what_was_typed_stays(client, entry, keeper):
    services.lock_period(period_id=entry.period_id, actor=keeper)
    fields = {"once_key": uuid4(), "reversed_on": "2027-01-11", "reason": "Paid by someone else"}

    response = client.post(reverse("books:reverse", args=[entry.pk]), fields)

    assert response.status_code == 422
    assert "Mon 11 Jan 2027 lies in a locked period. Choose a day in an open one." in response.text
    assert "Paid by someone else" in response.text


def test_a_reversal_sent_twice_leads_to_the_first(client, entry):
    fields = {"once_key": uuid4(), "reversed_on": "2027-01-11", "reason": "Mistaken"}
    first = client.post(reverse("books:reverse", args=[entry.pk]), fields)

    second = client.post(reverse("books:reverse", args=[entry.pk]), fields, follow=True)

    assert second.redirect_chain == [(first.url, 302)]
    assert "nothing was done twice" in second.content.decode()
    assert queries.entries().count() == 2


def rows(*filled):
    fields = {"rows-TOTAL_FORMS": "6", "rows-INITIAL_FORMS": "0"}
    for number in range(6):
        values = filled[number] if number < len(filled) else ("", "", "", "")
        fields |= {
            f"rows-{number}-{name}": value
            for name, value in zip(("account", "debit", "credit", "subject"), values, strict=True)
        }
    return fields


def head(**changes):
    from apiary_ops.business.queries import seasons

    return {
        "once_key": str(uuid4()),
        "posted_on": "2027-02-01",
        "season": seasons().get().pk,
        "memo": "The owner puts in money",
    } | changes


def test_an_entry_written_by_hand_is_posted(client, keeper):
    filled = rows(("bank", "1,250.00", "", ""), ("cash", "250", "", ""), ("owner-capital", "", "1500.00", "owner:1"))

    response = client.post(reverse("books:write"), head() | filled, follow=True)

    assert "The entry is posted." in response.content.decode()
    assert "by hand" in response.content.decode()
    assert queries.balance("bank") == 1250_00
    assert queries.balance("owner-capital", subject="owner:1") == -1500_00


def test_an_unbalanced_entry_is_refused_with_both_totals(client, keeper):
    filled = rows(("bank", "339.00", "", ""), ("owner-capital", "", "341.00", ""))

    response = client.post(reverse("books:write"), head() | filled)

    assert response.status_code == 422
    assert "Debits come to 339.00 and credits to 341.00; they differ by 2.00." in response.text
    assert 'value="339.00"' in response.text
    assert queries.entries().count() == 0


@pytest.mark.parametrize(
    ("row", "words"),
    [
        (("", "5", "", ""), "Choose the account, or empty the row."),
        (("bank", "5", "5", ""), "Enter a debit or a credit, one of them."),
        (("bank", "", "", "buyer:1"), "Enter a debit or a credit, one of them."),
        (("bank", "five", "", ""), "is not an amount; write it like 1,234.50."),
        (("bank", "-5", "", ""), "The amount cannot be below zero."),
    ],
)
def test_a_row_that_says_too_little_or_too_much_is_refused_beside_it(client, keeper, row, words):
    response = client.post(reverse("books:write"), head() | rows(row))

    assert response.status_code == 422
    assert words in response.text
    assert "Some rows need mending" in response.text


def test_an_entry_of_empty_rows_is_refused(client, keeper):
    response = client.post(reverse("books:write"), head() | rows())

    assert response.status_code == 422
    assert "There is nothing to post" in response.text


def test_an_entry_sent_twice_is_posted_once(client, keeper):
    fields = head() | rows(("bank", "5", "", ""), ("owner-capital", "", "5", ""))
    client.post(reverse("books:write"), fields)

    response = client.post(reverse("books:write"), fields, follow=True)

    assert "nothing was done twice" in response.content.decode()
    assert queries.entries().count() == 1
