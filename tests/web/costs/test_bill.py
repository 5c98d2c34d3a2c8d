from datetime import date
from uuid import uuid4

import pytest
from django.urls import reverse

from apiary_ops.books import queries as books
from apiary_ops.business.queries import seasons
from apiary_ops.costs import services
from apiary_ops.costs.models import Bill
from tests.factories.people import UserFactory

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("keeper")]


def filled(supplier, *rows, **changes):
    fields = {
        "once_key": str(uuid4()),
        "supplier": supplier.pk,
        "reference": "H-42",
        "billed_on": "2027-04-01",
        "due_on": "2027-04-30",
        "season": seasons().get().pk,
        "rows-TOTAL_FORMS": "6",
        "rows-INITIAL_FORMS": "0",
    }
    for number in range(6):
        account, description, amount = rows[number] if number < len(rows) else ("", "", "")
        row = {"account": account, "description": description, "amount": amount}
        fields |= {f"rows-{number}-{name}": value for name, value in row.items()}
    return fields | changes


def test_the_empty_form_offers_six_rows_and_only_accounts_a_bill_is_charged_to(client):
    page = client.get(reverse("costs:bill-record"))

    assert page.status_code == 200
    assert page.text.count('name="rows-') == 6 * 3 + 4  # the rows, and what Django counts them by
    assert "5050 Spring feed" in page.text
    assert "5010 Cost of nucs" not in page.text
    assert "1010 Bank" not in page.text


def test_a_bill_is_recorded_with_its_parts(client, supplier):
    fields = filled(
        supplier, ("spring-feed", "Syrup", "1,100.00"), ("office", "Labels", "30"), ("office", "Discount", "-5")
    )

    response = client.post(reverse("costs:bill-record"), fields, follow=True)

    text = response.content.decode()
    for words in ("The bill is recorded and posted.", "Bill H-42 of Harbour Feed", "Syrup", "1,125.00", "its entry"):
        assert words in text, words
    assert books.balance("office") == 25_00


@pytest.mark.parametrize(
    ("row", "words"),
    [
        (("", "Syrup", "5"), "Choose the account, or empty the row."),
        (("office", "", "5"), "Say what it is."),
        (("office", "Syrup", ""), "Enter the amount."),
        (("office", "Syrup", "0"), "The amount must be more than zero."),
        (("cost-of-nucs", "Syrup", "5"), "not one of the available choices"),
    ],
)
def test_a_row_that_says_too_little_is_refused_beside_it(client, supplier, row, words):
    response = client.post(reverse("costs:bill-record"), filled(supplier, row))

    assert response.status_code == 422
    assert words in response.text
    assert "Some rows need mending" in response.text
    assert Bill.objects.count() == 0


def test_a_bill_already_recorded_is_refused_and_what_was_typed_stays(client, supplier, record):
    record("H-42")

    response = client.post(reverse("costs:bill-record"), filled(supplier, ("office", "Labels", "30")))

    assert response.status_code == 422
    assert "Bill H-42 of Harbour Feed is already recorded." in response.text
    assert 'value="Labels"' in response.text


def test_a_bill_sent_twice_leads_to_the_first(client, supplier):
    fields = filled(supplier, ("office", "Labels", "30"))
    first = client.post(reverse("costs:bill-record"), fields)

    second = client.post(reverse("costs:bill-record"), fields, follow=True)

    assert second.redirect_chain == [(first.url, 302)]
    assert "nothing was done twice" in second.content.decode()
    assert Bill.objects.count() == 1


def test_a_bill_is_paid_on_its_page(client, record):
    bill = record()
    page = client.get(reverse("costs:bill", args=[bill.pk]))
    assert 'value="130.00"' in page.text
    assert "overdue" in page.text

    fields = {"once_key": uuid4(), "paid_on": "2027-04-12", "amount": "100.00", "paid_from": "bank"}
    response = client.post(reverse("costs:bill", args=[bill.pk]), fields, follow=True)

    text = response.content.decode()
    assert "The payment is posted." in text
    assert "30.00 CAD" in text
    assert books.balance("bank") == -100_00


def test_paying_more_than_is_owed_is_refused(client, record):
    bill = record()
    fields = {"once_key": uuid4(), "paid_on": "2027-04-12", "amount": "130.01", "paid_from": "bank"}

    response = client.post(reverse("costs:bill", args=[bill.pk]), fields)

    assert response.status_code == 422
    assert "Only 130.00 CAD is owed on this bill. Enter at most that." in response.text


def test_a_payment_is_reversed_from_the_bill(client, record, keeper):
    bill = record()
    day = date(2027, 4, 1)
    payment = services.pay_bill(bill_id=bill.pk, paid_on=day, cents=100_00, paid_from="bank", actor=keeper)
    reverse_url = reverse("costs:payment-reverse", args=[payment.pk])
    assert reverse_url in client.get(reverse("costs:bill", args=[bill.pk])).text
    assert "Reverse the payment of 100.00 CAD" in client.get(reverse_url).text

    fields = {"once_key": uuid4(), "reversed_on": "2027-04-12", "reason": "Other bill"}
    response = client.post(reverse_url, fields, follow=True)

    assert "the bill is owed again" in response.content.decode()
    assert books.balance("bank") == 0


def test_a_bill_is_reversed_from_its_page(client, record):
    bill = record()
    assert "Take this bill back?" in client.get(reverse("costs:bill-reverse", args=[bill.pk])).text

    fields = {"once_key": uuid4(), "reversed_on": "2027-04-12", "reason": "Wrong amounts"}
    response = client.post(reverse("costs:bill-reverse", args=[bill.pk]), fields, follow=True)

    text = response.content.decode()
    assert "The bill is reversed" in text
    assert "Pay it" not in text
    assert books.balance("payable") == 0


def test_a_bill_with_a_payment_is_not_reversed_and_says_what_to_do(client, record, keeper):
    bill = record()
    services.pay_bill(bill_id=bill.pk, paid_on=date(2027, 4, 1), cents=1, paid_from="bank", actor=keeper)

    fields = {"once_key": uuid4(), "reversed_on": "2027-04-12", "reason": "Wrong amounts"}
    response = client.post(reverse("costs:bill-reverse", args=[bill.pk]), fields)

    assert response.status_code == 422
    assert "Reverse its payments first." in response.text


def test_the_office_records_and_pays_but_reverses_nothing(client, record, keeper):
    bill = record()
    services.pay_bill(bill_id=bill.pk, paid_on=date(2027, 4, 1), cents=1, paid_from="bank", actor=keeper)
    client.force_login(UserFactory(office=True))

    page = client.get(reverse("costs:bill", args=[bill.pk]))

    assert page.status_code == 200
    assert "Pay it" in page.text
    assert "Reverse it" not in page.text
    assert "its entry" not in page.text


def test_a_bill_that_is_not_there_is_not_found(client):
    assert client.get(reverse("costs:bill", args=[9])).status_code == 404
