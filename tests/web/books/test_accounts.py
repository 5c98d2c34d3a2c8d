from datetime import date

import pytest
from django.urls import reverse

from apiary_ops.books import services
from apiary_ops.business.queries import seasons
from tests.factories.business import SeasonFactory

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("keeper")]


def test_the_trial_balance_comes_to_the_same_on_both_sides(client, post):
    post("order:1", 75_00)
    post("order:2", 1200_00)

    page = client.get(reverse("books:accounts"))

    assert page.status_code == 200
    assert page.text.count("1,275.00") == 4  # the bank, the deposits, and the totals of both sides
    assert reverse("books:account", args=["deposits-held"]) in page.text


def test_the_trial_balance_of_an_earlier_day_leaves_out_what_came_later(client, post):
    post("order:1", 75_00, on=date(2027, 1, 9))
    post("order:2", 1200_00, on=date(2027, 1, 10))

    page = client.get(reverse("books:accounts"), {"until": "2027-01-09"})

    assert page.text.count(">75.00<") == 4
    assert "1,275.00" not in page.text


def test_the_trial_balance_can_leave_out_the_closing_of_the_year(client, post):
    post("order:1", 75_00, credit="nuc-sales")
    services.close_fiscal_year(year=2027, actor=None)

    assert "4010 Nuc sales" in client.get(reverse("books:accounts")).text
    closed = client.get(reverse("books:accounts"), {"export": "csv"}).content.decode()
    before = client.get(reverse("books:accounts"), {"export": "csv", "closing": "without"}).content.decode()

    assert "4010 Nuc sales,Income,," in closed
    assert "4010 Nuc sales,Income,,75.00" in before


def test_an_account_shows_the_balance_after_each_posting(client, post):
    post("order:1", 75_00, memo="First")
    post("order:2", 80_00, memo="Second", on=date(2027, 1, 10))

    response = client.get(reverse("books:account", args=["bank"]), {"export": "csv"})

    assert response.content.decode("utf-8-sig").splitlines() == [
        "What,Day,For,Season,Debit (CAD),Credit (CAD),Balance (CAD)",
        "Second,2027-01-10,,2027,80.00,,155.00",
        "First,2027-01-09,,2027,75.00,,75.00",
    ]


def test_a_later_page_of_an_account_goes_on_with_the_balance(client, post):
    for number in range(60):
        post(f"order:{number}", 100 + number, on=date(2027, 1, 1 + number // 3))
    every = client.get(reverse("books:account", args=["bank"]), {"export": "csv"}).content.decode().splitlines()

    shown = []
    for page in (1, 2):
        table = client.get(reverse("books:account", args=["bank"]), {"page": page}).context["table"]
        shown += [f"{line.running_cents / 100:.2f}" for line in table.records]

    assert shown == [row.split(",")[6] for row in every[1:]]
    assert (shown[0], shown[49], shown[50], shown[59]) == ("77.70", "11.55", "10.45", "1.00")


def test_an_account_of_what_is_owed_counts_its_credits_up(client, post):
    post("order:1", 75_00)

    page = client.get(reverse("books:account", args=["deposits-held"]))

    assert "75.00 CAD" in page.text
    assert "−75.00" not in page.text


def test_an_account_says_whose_part_is_not_settled(client, post):
    post("order:1", 75_00)
    post("order:2", 80_00)
    post("order:3", 75_00, debit="deposits-held", credit="bank", subject="nobody")

    page = client.get(reverse("books:account", args=["deposits-held"]), {"until": "2027-01-01"})

    assert "Whose part of it" in page.text
    assert "order:1" in page.text
    assert "80.00" in page.text


def test_an_account_is_narrowed_to_one_subject_or_to_a_piece_of_it(client, post):
    for number in ("order:1", "order:10", "buyer:1"):
        post(number, 75_00, memo=f"Deposit for {number}")

    def shown(subject):
        response = client.get(reverse("books:account", args=["deposits-held"]), {"subject": subject, "export": "csv"})
        return [row.split(",")[2] for row in response.content.decode().splitlines()[1:]]

    assert shown("order:1") == ["order:1"]
    assert shown("order") == ["order:10", "order:1"]
    assert shown("1") == ["buyer:1", "order:10", "order:1"]


def test_an_overdrawn_account_is_flagged_in_words(client, post):
    post("order:1", 75_00)
    post("bill:1", 80_00, debit="rent", credit="bank")

    page = client.get(reverse("books:account", args=["bank"]))

    assert page.text.count("below zero") == 2  # the balance, and the posting that brought it there
    assert "−5.00" in page.text
    assert client.get(reverse("books:accounts")).text.count("below zero") == 1


def test_an_account_can_be_narrowed_to_one_season(client, post):
    post("order:1", 75_00)
    other = SeasonFactory(year=2028)

    page = client.get(reverse("books:account", args=["bank"]), {"season": other.pk})

    assert "0.00 CAD" in page.text
    assert "75.00" in client.get(reverse("books:account", args=["bank"]), {"season": seasons().get(year=2027).pk}).text


def test_an_account_that_is_not_in_the_chart_is_not_found(client):
    assert client.get(reverse("books:account", args=["honey-sales"])).status_code == 404


def test_an_account_asks_the_database_no_more_for_more_postings(client, post, django_assert_max_num_queries):
    for number in range(20):
        post(f"order:{number}", 100)

    with django_assert_max_num_queries(13):
        client.get(reverse("books:account", args=["deposits-held"]))
