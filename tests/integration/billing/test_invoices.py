"""An invoice freezes what was handed over, uses its share of the deposit and is paid like any other debt."""

from datetime import UTC, date, datetime
from uuid import uuid4

import pytest
from django.db import IntegrityError, transaction

from apiary_ops.billing import queries, services
from apiary_ops.billing.models import Invoice, InvoiceLine, InvoicePayment
from apiary_ops.books import queries as books
from apiary_ops.business.models import Business
from apiary_ops.business.queries import NothingSetUp
from apiary_ops.core.once import AlreadyDone
from apiary_ops.orders.models import Line
from tests.factories.billing import open_books, order_of
from tests.factories.orders import LineFactory
from tests.factories.people import UserFactory

pytestmark = pytest.mark.django_db

DAY = date(2027, 6, 5)


@pytest.fixture
def clerk():
    open_books()
    return UserFactory(office=True)


def deposit(order, cents, clerk):
    services.take_deposit(
        order_id=order.pk,
        cents=cents,
        received_on=date(2027, 1, 15),
        received_at=datetime(2027, 1, 15, 14, tzinfo=UTC),
        method="transfer",
        actor=clerk,
    )


def invoice(order, clerk, *nucs, source="hand-over:1", **changes):
    """Hand over so many nucs of each line, in the order of the lines."""
    lines = order.lines.order_by("pk").values_list("pk", flat=True)
    given = {
        "order_id": order.pk,
        "source": source,
        "supplied_on": DAY,
        "issued_on": DAY,
        "quantities": {pk: count for pk, count in zip(lines, nucs, strict=False) if count},
        "actor": clerk,
    }
    return services.issue_invoice(**(given | changes))


def pay(paper, cents, clerk, **changes):
    given = {"invoice_id": paper.pk, "cents": cents, "received_on": DAY, "method": "cash", "actor": clerk}
    return services.take_balance(**(given | changes))


def test_an_invoice_freezes_seller_buyer_lines_and_tax(clerk):
    Business.objects.update(registration="12345 RT0001")
    order = order_of(3, percent="5", buyer__address="2 Hill Road")

    paper = invoice(order, clerk, 2)

    assert paper.number == "2027-00001"
    assert (paper.net_cents, paper.tax_cents, paper.total_cents, paper.owed_cents) == (59000, 2950, 61950, 61950)
    assert (paper.buyer_name, paper.buyer_address) == (order.buyer.name, "2 Hill Road")
    assert paper.seller["name"] == "Fernhollow Bees"
    assert paper.seller["registration"] == "12345 RT0001"
    assert paper.taxes == [
        {
            "code": "standard",
            "name": "standard rate",
            "category": "S",
            "percent": "5",
            "net_cents": 59000,
            "tax_cents": 2950,
            "note": "",
        }
    ]
    line = paper.lines.get()
    assert (line.description, line.quantity) == ("5-frame spring nuc", 2)
    assert (line.price_cents, line.net_cents, line.tax_code) == (29500, 59000, "standard")


def test_revenue_and_tax_are_posted_on_the_day_of_supply(clerk):
    order = order_of(2, percent="5")

    paper = invoice(order, clerk, 2, issued_on=date(2027, 6, 7))

    assert paper.entry.posted_on == DAY
    assert books.balance("nuc-sales") == -59000
    assert books.balance("tax-due") == -2950
    assert books.balance("receivable", subject=f"buyer:{order.buyer_id}") == 61950


def test_a_delivery_in_two_parts_uses_the_deposit_by_the_nuc_and_the_last_takes_the_rest(clerk):
    order = order_of(3, price_cents=29500)
    deposit(order, 10000, clerk)

    first = invoice(order, clerk, 1)
    second = invoice(order, clerk, 2, source="hand-over:2")

    assert (first.deposit_cents, first.owed_cents) == (3333, 26167)
    assert (second.deposit_cents, second.owed_cents) == (6667, 52333)
    assert queries.deposit_of(order).held_cents == 0
    assert books.balance("deposits-held") == 0
    assert queries.owed(order) == 26167 + 52333
    assert books.balance("receivable") == queries.owed_total(order.season_id)


def test_a_cancelled_rest_leaves_its_part_of_the_deposit_held(clerk):
    order = order_of(2, 1)
    deposit(order, 22500, clerk)
    services.cancel_line(
        line_id=order.lines.last().pk, on=DAY, at=datetime(2027, 6, 5, tzinfo=UTC), reason="", actor=clerk
    )

    paper = invoice(order, clerk, 1)

    assert paper.deposit_cents == 11250
    assert queries.deposit_of(order).held_cents == 11250


def test_a_deposit_above_what_the_delivery_costs_stays_held(clerk):
    order = order_of(1, 1, price_cents=10000)
    deposit(order, 20000, clerk)
    Line.objects.filter(order=order).update(state="part collected")

    services.cancel_line(
        line_id=order.lines.last().pk, on=DAY, at=datetime(2027, 6, 5, tzinfo=UTC), reason="", actor=clerk
    )
    paper = invoice(order, clerk, 1)

    assert (paper.deposit_cents, paper.owed_cents) == (10000, 0)
    assert queries.deposit_of(order).held_cents == 10000


def test_what_is_left_to_pay_is_reckoned_before_anything_is_written(clerk):
    order = order_of(2, percent="5")
    deposit(order, 15000, clerk)

    reckoning = queries.reckon(order, {order.lines.get().pk: 1}, on=DAY)

    assert (reckoning.totals.total_cents, reckoning.deposit_cents, reckoning.due_cents) == (30975, 7500, 23475)
    assert queries.still_to_come(order, on=DAY) == 61950
    assert not Invoice.objects.exists()


def test_the_same_delivery_is_invoiced_once(clerk):
    order = order_of(2)
    invoice(order, clerk, 1)

    with pytest.raises(services.AlreadyInvoiced, match="nothing was invoiced twice"):
        invoice(order, clerk, 1)


def test_more_nucs_than_the_line_asks_are_refused(clerk):
    order = order_of(3)
    invoice(order, clerk, 2)

    with pytest.raises(services.MoreThanOrdered, match="This line has 1 still to come, not 2. Hand over fewer."):
        invoice(order, clerk, 2, source="hand-over:2")


def test_a_cancelled_line_is_not_invoiced(clerk):
    order = order_of(3)
    services.cancel_line(
        line_id=order.lines.get().pk, on=DAY, at=datetime(2027, 6, 5, tzinfo=UTC), reason="", actor=clerk
    )

    with pytest.raises(services.MoreThanOrdered, match="This line has 0 still to come"):
        invoice(order, clerk, 1)


def test_an_order_paid_ahead_in_full_asks_nothing_whichever_nuc_leaves_first(clerk):
    order = order_of(1, price_cents=30000)
    LineFactory(order=order, quantity=1, price_cents=10000, tax_category=order.lines.get().tax_category)
    deposit(order, 40000, clerk)

    dear = invoice(order, clerk, 1, 0)
    cheap = invoice(order, clerk, 0, 1, source="hand-over:2")

    assert [(paper.deposit_cents, paper.owed_cents) for paper in (dear, cheap)] == [(30000, 0), (10000, 0)]
    assert (queries.deposit_of(order).held_cents, books.balance("deposits-held")) == (0, 0)


def test_a_line_of_another_order_is_refused(clerk):
    order, other = order_of(1), order_of(1)

    with pytest.raises(services.NotOnThisOrder, match="line of another order"):
        invoice(order, clerk, quantities={other.lines.get().pk: 1})


@pytest.mark.parametrize("nucs", [0, -1])
def test_no_invoice_for_no_nucs(clerk, nucs):
    order = order_of(1)

    with pytest.raises(services.NothingToInvoice, match="No nucs are handed over"):
        invoice(order, clerk, quantities={order.lines.get().pk: nucs})


def test_nucs_that_cost_nothing_are_not_invoiced(clerk):
    with pytest.raises(services.NothingToInvoice, match="cost nothing"):
        invoice(order_of(1, price_cents=0), clerk, 1)


def test_a_category_without_a_rate_on_that_day_is_refused(clerk):
    order = order_of(1)

    with pytest.raises(NothingSetUp, match="has no rate on Tue 31 Dec 2019"):
        invoice(order, clerk, 1, supplied_on=date(2019, 12, 31))


def test_a_hand_over_that_is_rolled_back_never_took_its_number(clerk):
    order = order_of(3)
    with transaction.atomic():
        undone = invoice(order, clerk, 1)
        transaction.set_rollback(True)

    paper = invoice(order, clerk, 1)

    assert (undone.serial, paper.serial) == (1, 1)


def test_an_invoice_is_paid_in_parts_to_the_last_cent(clerk):
    paper = invoice(order_of(1), clerk, 1)

    first = pay(paper, 10000, clerk)
    second = pay(paper, 19500, clerk, method="card")

    paper.refresh_from_db()
    assert (first.number, second.number) == ("R2027-00001", "R2027-00002")
    assert (paper.paid_cents, paper.owed_cents) == (29500, 0)
    assert (books.balance("cash"), books.balance("card-clearing"), books.balance("receivable")) == (10000, 19500, 0)
    assert list(queries.who_owes()) == []


def test_more_than_is_owed_is_refused(clerk):
    paper = invoice(order_of(1), clerk, 1)

    with pytest.raises(services.MoreThanOwed, match="Invoice 2027-00001 asks only 295.00 CAD more."):
        pay(paper, 29501, clerk)


def test_a_payment_sent_twice_counts_once(clerk):
    paper, key = invoice(order_of(1), clerk, 1), uuid4()
    pay(paper, 10000, clerk, once_key=key)

    with pytest.raises(AlreadyDone, match="nothing was done twice"):
        pay(paper, 10000, clerk, once_key=key)

    paper.refresh_from_db()
    assert paper.paid_cents == 10000


def test_who_owes_most_stands_first(clerk):
    small, large = order_of(1), order_of(3)
    invoice(small, clerk, 1)
    invoice(large, clerk, 1, source="hand-over:2", issued_on=date(2027, 6, 9))
    invoice(large, clerk, 2, source="hand-over:3")

    rows = list(queries.who_owes(small.season_id))

    assert [(row, row.owed, row.unpaid, row.oldest) for row in rows] == [
        (large.buyer, 88500, 2, DAY),
        (small.buyer, 29500, 1, DAY),
    ]


def test_numbers_run_without_gaps_and_the_database_refuses_others(clerk):
    order = order_of(5)
    papers = [invoice(order, clerk, 1, source=f"hand-over:{number}") for number in range(1, 4)]

    assert [paper.serial for paper in papers] == [1, 2, 3]
    last = Invoice.objects.get(pk=papers[-1].pk)
    last.pk, last.serial, last.number, last.source = None, 5, "2027-00005", "hand-over:9"
    with pytest.raises(IntegrityError, match="numbered without gaps"), transaction.atomic():
        last.save(force_insert=True)


def test_an_issued_invoice_never_changes(clerk):
    paper = invoice(order_of(2), clerk, 1)
    line = paper.lines.get()

    for change in ({"buyer_name": "Other"}, {"total_cents": 1}, {"deposit_cents": 1}, {"seller": {}}, {"serial": 2}):
        with pytest.raises(IntegrityError, match="never changes"), transaction.atomic():
            Invoice.objects.filter(pk=paper.pk).update(**change)
    with pytest.raises(IntegrityError, match="never changes"), transaction.atomic():
        InvoiceLine.objects.filter(pk=line.pk).update(quantity=5)
    line.pk = None
    with pytest.raises(IntegrityError, match="takes no more lines"), transaction.atomic():
        line.save(force_insert=True)
    with pytest.raises(IntegrityError, match="never changes"), transaction.atomic():
        InvoiceLine.objects.all().delete()


def test_what_was_paid_is_what_the_payments_say(clerk):
    paper = invoice(order_of(1), clerk, 1)
    pay(paper, 10000, clerk)

    for cents in (9999, 10001):
        with pytest.raises(IntegrityError, match="counted from its rows"), transaction.atomic():
            Invoice.objects.filter(pk=paper.pk).update(paid_cents=cents)
    with pytest.raises(IntegrityError, match="A payment never changes"), transaction.atomic():
        InvoicePayment.objects.all().delete()
