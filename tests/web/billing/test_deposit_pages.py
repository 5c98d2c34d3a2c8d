"""Taking, giving back and keeping a deposit, and cancelling a line: consequences first, then once."""

from uuid import uuid4

import pytest
from django.urls import reverse

from apiary_ops.billing import queries
from apiary_ops.billing.models import Receipt
from tests.factories.billing import order_of

pytestmark = pytest.mark.django_db


def page(name, order):
    return reverse(f"billing:{name}", args=[order.number])


def received(**changes):
    return {"once_key": uuid4(), "amount": "150.00", "method": "cash", "received_on": "2027-06-05"} | changes


def given_back(**changes):
    fields = {"once_key": uuid4(), "amount": "50.00", "method": "transfer", "on": "2027-06-05", "reason": "asked"}
    return fields | changes


def test_the_order_page_shows_the_deposit_and_leads_to_taking_one(client, take):
    order = order_of(2)
    take(order, 10000)

    text = client.get(reverse("orders:order", args=[order.number])).text

    assert "Deposit and papers" in text
    assert "100.00 CAD" in text  # the receipt
    assert "R2027-00001" in text
    for name in ("take-deposit", "refund-deposit"):
        assert page(name, order) in text
    # All of it is for nucs still to come.
    assert page("keep-deposit", order) not in text


def test_the_form_proposes_what_is_still_asked(client, take):
    order = order_of(2)
    take(order, 10000)

    response = client.get(page("take-deposit", order))

    assert 'name="amount" value="50.00"' in response.text
    assert "490.00 CAD" in response.text  # at most


def test_a_deposit_is_taken_and_its_receipt_opens(client, office):
    order = order_of(2)

    response = client.post(page("take-deposit", order), received(), follow=True)

    assert response.redirect_chain == [("/billing/receipts/R2027-00001/", 302)]
    assert "Receipt R2027-00001 is written." in response.text
    assert queries.deposit_of(order).held_cents == 15000


def test_a_double_click_takes_one_deposit(client, office):
    order, fields = order_of(2), received()
    client.post(page("take-deposit", order), fields)

    response = client.post(page("take-deposit", order), fields, follow=True)

    assert "nothing was done twice" in response.text
    assert response.redirect_chain[-1][0] == "/billing/receipts/R2027-00001/"
    assert Receipt.objects.count() == 1


@pytest.mark.parametrize(
    ("amount", "words"),
    [
        ("590.01", "leave 590.00 CAD to pay"),
        ("0", "must be more than zero"),
        ("-5", "cannot be below zero"),
        ("12.345", "has more decimals than CAD has"),
        ("lots", "is not an amount"),
        ("", "This field is required."),
    ],
)
def test_a_wrong_amount_is_refused_beside_the_field(client, office, amount, words):
    response = client.post(page("take-deposit", order_of(2)), received(amount=amount))

    assert response.status_code == 422
    assert words in response.context["form"].errors["amount"][0]


def test_money_of_tomorrow_is_refused(client, office):
    response = client.post(page("take-deposit", order_of(2)), received(received_on="2027-06-06"))

    assert response.context["form"].errors["received_on"] == [
        "That day has not come yet. Choose today or an earlier day."
    ]


def test_a_day_without_books_is_refused(client, office):
    response = client.post(page("take-deposit", order_of(2)), received(received_on="2020-06-05"))

    assert response.status_code == 422
    assert "No fiscal year holds Fri 5 Jun 2020." in response.text


def test_before_a_refund_the_page_says_what_it_does(client, take):
    order = order_of(2)
    take(order, 16000)

    text = client.get(page("refund-deposit", order)).text

    for words in (
        "160.00 CAD of this deposit is held.",
        "The last day of refunds by the terms was Mon 1 Mar 2027; a refund now is a kindness.",
        "Giving back more than 10.00 CAD takes the order&#x27;s place in the queue.",
        "Income is not touched",
        'name="amount" value="10.00"',
    ):
        assert words in text, words


def test_before_the_cut_off_the_terms_give_all_of_it_back(client, take, settings):
    settings.PRETENDED_TODAY = settings.PRETENDED_TODAY.replace(month=2)
    order = order_of(2)
    take(order, 15000)

    assert "given back in full until Mon 1 Mar 2027" in client.get(page("refund-deposit", order)).text


def test_a_refund_is_recorded_once(client, take):
    order, fields = order_of(2), given_back()
    take(order, 15000)

    client.post(page("refund-deposit", order), fields)
    response = client.post(page("refund-deposit", order), fields, follow=True)

    assert "nothing was done twice" in response.text
    assert queries.deposit_of(order).refunded_cents == 5000


def test_more_than_is_held_is_refused_beside_the_amount(client, take):
    order = order_of(2)
    take(order, 15000)

    response = client.post(page("refund-deposit", order), given_back(amount="150.01"))

    assert response.status_code == 422
    assert response.context["form"].errors["amount"] == [
        "Only 150.00 CAD of this deposit is still held. Enter that or less."
    ]


def test_a_line_is_cancelled_after_its_consequences_were_shown(client, take):
    order = order_of(2, 1)
    take(order, 22500)
    line = order.lines.order_by("pk").first()
    url = reverse("billing:cancel-line", args=[line.pk])

    before = client.get(url).text
    response = client.post(url, {"reason": "moved away"}, follow=True)

    for words in (
        "Cancel 2 × 5-frame spring nuc?",
        "2 × 5-frame spring nuc in the first round are taken off",
        "falls from 225.00 CAD to 75.00 CAD",
        "225.00 CAD stays held",
        "a refund now is a kindness",
    ):
        assert words in before, words
    line.refresh_from_db()
    assert line.state == "cancelled"
    assert "moved away" in response.text
    assert page("keep-deposit", order) in response.text


def test_a_cancellation_needs_a_reason(client, office):
    url = reverse("billing:cancel-line", args=[order_of(1).lines.get().pk])

    response = client.post(url, {"reason": ""})

    assert response.status_code == 422
    assert response.context["form"].errors["reason"] == ["This field is required."]


def test_a_cancelled_line_has_no_way_to_cancel_it_again(client, office):
    order = order_of(1)
    url = reverse("billing:cancel-line", args=[order.lines.get().pk])
    client.post(url, {"reason": "moved away"})

    response = client.post(url, {"reason": "again"})

    assert "there is nothing left to cancel" in response.text
    assert url not in client.get(reverse("orders:order", args=[order.number])).text


def test_what_may_be_kept_is_said_and_kept(client, take):
    order = order_of(2, 1)
    take(order, 22500)
    client.post(reverse("billing:cancel-line", args=[order.lines.order_by("pk").first().pk]), {"reason": "late"})

    before = client.get(page("keep-deposit", order)).text
    client.post(
        page("keep-deposit", order),
        {"once_key": uuid4(), "amount": "150.00", "on": "2027-06-05", "reason": "by the terms"},
    )

    assert "225.00 CAD of this deposit is held; 150.00 CAD of it is for no nuc still to come and may be kept." in before
    assert 'name="amount" value="150.00"' in before
    assert queries.deposit_of(order).kept_cents == 15000


def test_nothing_may_be_kept_while_every_nuc_is_still_to_come(client, take):
    order = order_of(2)
    take(order, 15000)

    response = client.post(
        page("keep-deposit", order), {"once_key": uuid4(), "amount": "1.00", "on": "2027-06-05", "reason": "x"}
    )

    assert response.status_code == 422
    assert "all of it for nucs still to come: cancel their line first" in response.text
    assert "Only 0.00 CAD is not needed" in response.context["form"].errors["amount"][0]
