from datetime import date

import pytest
from django.urls import reverse

from apiary_ops.books import queries, services

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("keeper")]


def test_an_empty_journal_says_so(client):
    page = client.get(reverse("books:journal"))

    assert page.status_code == 200
    assert "Nothing here yet." in page.text


def test_the_journal_names_both_accounts_the_amount_and_the_cause(client, post):
    entry = post("order:2027-0001", 75_00, memo="Deposit of Willa Marsh")

    page = client.get(reverse("books:journal"))

    assert reverse("books:entry", args=[entry.pk]) in page.text
    for words in ("Deposit of Willa Marsh", "Bank", "Deposits held for buyers", "75.00", "order:2027-0001"):
        assert words in page.text, words


def test_the_journal_is_narrowed_by_account_period_and_words(client, post):
    post("order:1", 75_00, memo="First")
    post("order:2", 80_00, memo="Second", debit="cash")
    services.open_fiscal_year(year=2028, starts_on=date(2027, 10, 1))
    post("order:3", 90_00, memo="Third", on=date(2027, 10, 2))
    cash = queries.accounts().get(key="cash")
    october = queries.period_of(date(2027, 10, 2))

    def shown(**chosen):
        text = client.get(reverse("books:journal"), chosen).text
        return [memo for memo in ("First", "Second", "Third") if memo in text]

    assert shown() == ["First", "Second", "Third"]
    assert shown(account=cash.pk) == ["Second"]
    assert shown(period=october.pk) == ["Third"]
    assert shown(text="order:1") == ["First"]
    assert shown(text="sECO") == ["Second"]
    assert shown(text="nobody") == []


def test_the_journal_is_saved_as_a_file_as_it_is_narrowed(client, post):
    post("order:1", 75_00, memo="First")
    post("order:2", 80_00, memo="Second")

    response = client.get(reverse("books:journal"), {"text": "Second", "export": "csv"})

    assert response["Content-Disposition"] == 'attachment; filename="journal.csv"'
    assert response.content.decode("utf-8-sig").splitlines() == [
        "What,Day,Debited,Credited,Amount (CAD),Caused by",
        "Second,2027-01-09,Bank,Deposits held for buyers,80.00,order:2",
    ]


def test_the_journal_asks_the_database_no_more_for_more_entries(client, post, django_assert_max_num_queries):
    for number in range(20):
        post(f"order:{number}", 100)

    with django_assert_max_num_queries(12):
        client.get(reverse("books:journal"))


def test_a_cause_that_a_machine_numbered_is_shown_by_its_beginning(client, post):
    post("hand-over:09435a8d-c756-4530-8eb9-1394f7f00f4b", 75_00, memo="Deposit used")

    page = client.get(reverse("books:journal"))

    assert "hand-over:09435a8d</td>" in page.text
