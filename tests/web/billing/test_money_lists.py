"""Lists of money, each beside the account it must equal."""

from datetime import date

import pytest

from apiary_ops.books.services import Posting, post_entry
from tests.factories.billing import order_of

pytestmark = pytest.mark.django_db


def by_hand(season, account, cents):
    post_entry(
        source="manual:1",
        purpose="manual",
        posted_on=date(2027, 6, 5),
        season_id=season.pk,
        memo="slip of the pen",
        postings=[Posting(account, cents), Posting("bank", -cents)],
        actor=None,
    )


def test_deposits_held_stand_beside_their_account(client, take):
    order = order_of(2, buyer__name="Willa Marsh")
    take(order, 15000)

    text = client.get("/billing/deposits/").text

    for words in ("Willa Marsh", order.number, "Both agree.", "This list: 150.00 CAD", "deposits held: 150.00 CAD"):
        assert words in text, words


def test_a_difference_to_the_account_is_said_loudly(client, take, season):
    take(order_of(2), 15000)
    by_hand(season, "deposits-held", 100)

    text = client.get("/billing/deposits/").text

    assert "They do not agree." in text
    assert "Account of deposits held: 149.00 CAD" in text


def test_who_owes_what_stands_beside_the_account(client, hand_over):
    hand_over(order_of(2, buyer__name="Willa Marsh"), 2)

    response = client.get("/billing/")

    for words in ("Willa Marsh", "590.00", "Both agree.", "Sat 5 Jun 2027"):
        assert words in response.text, words
    assert (response.context["owed"], response.context["account"]) == (59000, 59000)


def test_with_nothing_owed_the_list_is_empty_and_still_agrees(client, office):
    text = client.get("/billing/").text

    assert "Nothing here yet." in text
    assert "Both agree." in text


def test_invoices_are_narrowed_by_state_and_words(client, hand_over):
    hand_over(order_of(1, buyer__name="Willa Marsh"), 1)
    hand_over(order_of(1, buyer__name="Bram Tarrant"), 1, source="hand-over:2")

    assert "Willa Marsh" in client.get("/billing/invoices/", {"state": "owed"}).text
    assert "Willa Marsh" not in client.get("/billing/invoices/", {"state": "paid"}).text
    assert "Willa Marsh" not in client.get("/billing/invoices/", {"text": "tarrant"}).text
    sums = client.get("/billing/invoices/", {"text": "tarrant"}).context["table"].totals
    assert sums == {"total_cents": 29500, "deposit_cents": 0, "paid_cents": 0, "owed": 29500}


def test_receipts_are_narrowed_by_day_method_and_purpose(client, take):
    take(order_of(1, buyer__name="Willa Marsh"), 7500)

    def shown(**chosen):
        return "Willa Marsh" in client.get("/billing/receipts/", chosen).text

    assert shown()
    assert shown(method="transfer", purpose="deposit", since="2027-01-15", until="2027-01-15", text="willa")
    assert not shown(method="cash")
    assert not shown(purpose="balance")
    assert not shown(since="2027-01-16")
    assert not shown(until="2027-01-14")


@pytest.mark.parametrize(
    ("address", "name"),
    [
        ("/billing/", "owed-2027"),
        ("/billing/deposits/", "deposits-held-2027"),
        ("/billing/invoices/", "invoices-2027"),
        ("/billing/receipts/", "receipts-2027"),
    ],
)
def test_each_list_is_saved_as_a_file(client, take, hand_over, address, name):
    order = order_of(2, buyer__name="Willa Marsh")
    take(order, 15000)
    hand_over(order, 1)

    response = client.get(address, {"export": "csv"})

    assert response["Content-Disposition"] == f'attachment; filename="{name}.csv"'
    assert "Willa Marsh" in response.content.decode("utf-8-sig").splitlines()[1]


@pytest.mark.parametrize("address", ["/billing/", "/billing/deposits/", "/billing/invoices/", "/billing/receipts/"])
def test_twenty_rows_ask_the_database_no_more(client, take, hand_over, address, django_assert_max_num_queries):
    for number in range(20):
        order = order_of(2)
        take(order, 15000)
        hand_over(order, 1, source=f"hand-over:{number}")

    with django_assert_max_num_queries(15):
        client.get(address)
