from datetime import date

import pytest
from django.urls import reverse

from apiary_ops.costs import services
from tests.factories.people import UserFactory

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("keeper")]


def csv_rows(client, **chosen):
    response = client.get(reverse("costs:bills"), chosen | {"export": "csv"})
    return response.content.decode("utf-8-sig").splitlines()[1:]


def test_without_bills_the_page_says_what_to_do_first(client):
    page = client.get(reverse("costs:bills"))

    assert page.status_code == 200
    assert "Record bills as they come in" in page.text


def test_bills_stand_by_what_is_owed_and_when_it_is_due(client, record, keeper):
    late = record("H-1", due_on=date(2027, 4, 11))
    record("H-2", due_on=date(2027, 4, 12))
    record("H-3", due_on=date(2027, 5, 30))
    paid = record("H-4", due_on=date(2027, 3, 2))
    services.pay_bill(bill_id=paid.pk, paid_on=date(2027, 3, 2), cents=130_00, paid_from="bank", actor=keeper)
    services.pay_bill(bill_id=late.pk, paid_on=date(2027, 3, 2), cents=30_00, paid_from="bank", actor=keeper)

    assert csv_rows(client) == [
        "H-1,Harbour Feed,2027-03-01,2027-04-11,130.00,100.00,overdue",
        "H-2,Harbour Feed,2027-03-01,2027-04-12,130.00,130.00,owed",
        "H-3,Harbour Feed,2027-03-01,2027-05-30,130.00,130.00,owed",
        "H-4,Harbour Feed,2027-03-01,2027-03-02,130.00,0.00,paid",
    ]
    assert [row[:3] for row in csv_rows(client, standing="overdue")] == ["H-1"]
    assert [row[:3] for row in csv_rows(client, standing="soon")] == ["H-1", "H-2"]
    assert [row[:3] for row in csv_rows(client, standing="owed")] == ["H-1", "H-2", "H-3"]
    assert [row[:3] for row in csv_rows(client, text="h-3")] == ["H-3"]
    page = client.get(reverse("costs:bills"))
    for words in ("360.00 CAD", "100.00 CAD", "130.00 CAD"):  # owed, overdue, due within two weeks
        assert words in page.text


def test_a_list_narrowed_to_nothing_keeps_its_filters(client, record):
    record()

    page = client.get(reverse("costs:bills"), {"text": "nothing"})

    assert "Nothing here yet." in page.text
    assert "Show all" in page.text


def test_the_list_asks_the_database_no_more_for_more_bills(client, record, django_assert_max_num_queries):
    for number in range(20):
        record(f"H-{number}")

    with django_assert_max_num_queries(13):
        client.get(reverse("costs:bills"))


def test_the_crew_and_the_gate_see_no_bills(client):
    for role in ("crew", "gate"):
        client.force_login(UserFactory(role=role))

        assert client.get(reverse("costs:bills")).status_code == 403
