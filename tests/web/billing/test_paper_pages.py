"""Receipts, invoices and balances on screen and as PDF."""

from uuid import uuid4

import pytest
from django.urls import reverse

from tests.factories.billing import order_of
from tests.factories.people import UserFactory

pytestmark = pytest.mark.django_db


def paid(**changes):
    return {"once_key": uuid4(), "amount": "145.00", "method": "cash", "received_on": "2027-06-05"} | changes


def test_a_receipt_says_from_whom_how_much_and_for_what(client, take):
    order = order_of(1, buyer__name="Willa <Marsh>")
    take(order, 7500)

    text = client.get("/billing/receipts/R2027-00001/").text

    for words in ("Willa &lt;Marsh&gt;", "75.00 CAD", "deposit", order.number, "transfer", "Fri 15 Jan 2027"):
        assert words in text, words


def test_a_receipt_prints_as_pdf(client, take):
    take(order_of(1), 7500)

    response = client.get("/billing/receipts/R2027-00001/paper/")

    assert response["Content-Type"] == "application/pdf"
    assert response["Content-Disposition"] == 'inline; filename="receipt-R2027-00001.pdf"'
    assert response.content.startswith(b"%PDF-")


def test_an_invoice_shows_lines_tax_deposit_and_what_is_owed(client, take, hand_over):
    order = order_of(2, percent="15", buyer__name="Willa Marsh")
    take(order, 15000)
    hand_over(order, 1)

    text = client.get("/billing/invoices/2027-00001/").text

    for words in ("Willa Marsh", "5-frame spring nuc", "295.00", "standard rate 15 %", "44.25 CAD", "339.25"):
        assert words in text, words
    assert "75.00" in text  # deposit taken off
    assert "264.25" in text  # owed
    assert reverse("billing:take-balance", args=["2027-00001"]) in text


def test_an_invoice_prints_as_pdf(client, hand_over):
    hand_over(order_of(1), 1)

    response = client.get("/billing/invoices/2027-00001/paper/")

    assert response["Content-Disposition"] == 'inline; filename="invoice-2027-00001.pdf"'
    assert response.content.startswith(b"%PDF-")


def test_the_balance_is_taken_once_and_the_receipt_names_the_invoice(client, hand_over):
    invoice = hand_over(order_of(1, price_cents=14500), 1)
    url, fields = reverse("billing:take-balance", args=[invoice.number]), paid()

    form = client.get(url).text
    first = client.post(url, fields, follow=True)
    second = client.post(url, fields, follow=True)

    assert 'name="amount" value="145.00"' in form
    assert "invoice" in first.text
    assert "/billing/invoices/2027-00001/" in first.text
    assert "nothing was done twice" in second.text
    invoice.refresh_from_db()
    assert invoice.owed_cents == 0
    assert "Nothing is owed on this invoice." in client.get(url).text


def test_more_than_is_owed_is_refused_beside_the_amount(client, hand_over):
    invoice = hand_over(order_of(1, price_cents=14500), 1)

    response = client.post(reverse("billing:take-balance", args=[invoice.number]), paid(amount="145.01"))

    assert response.status_code == 422
    assert response.context["form"].errors["amount"] == [
        "Invoice 2027-00001 asks only 145.00 CAD more. Enter that or less."
    ]


def test_the_pickup_hand_sees_an_invoice_and_takes_its_balance(client, hand_over):
    invoice = hand_over(order_of(1), 1)
    client.force_login(UserFactory(gate=True))

    assert client.get(reverse("billing:invoice", args=[invoice.number])).status_code == 200
    assert client.get(reverse("billing:invoice-paper", args=[invoice.number])).status_code == 200
    assert client.post(reverse("billing:take-balance", args=[invoice.number]), paid()).status_code == 302
    assert client.get(reverse("billing:take-deposit", args=[invoice.order.number])).status_code == 403


def test_the_order_shows_the_pickup_hand_papers_but_no_deposit_to_move(client, take, hand_over):
    order = order_of(2)
    take(order, 15000)
    hand_over(order, 1)
    client.force_login(UserFactory(gate=True))

    text = client.get(reverse("orders:order", args=[order.number])).text

    assert "/billing/invoices/2027-00001/" in text
    for name in ("take-deposit", "refund-deposit", "keep-deposit"):
        assert reverse(f"billing:{name}", args=[order.number]) not in text


def test_the_buyers_page_says_what_is_owed(client, hand_over):
    order = order_of(1)
    hand_over(order, 1)

    text = client.get(reverse("orders:buyer", args=[order.buyer_id])).text

    assert "Owed by this buyer" in text
    assert "295.00 CAD" in text


@pytest.mark.parametrize("address", ["/billing/invoices/2027-00009/", "/billing/receipts/R2027-00009/paper/"])
def test_a_paper_that_does_not_exist_is_not_found(client, office, address):
    assert client.get(address).status_code == 404
