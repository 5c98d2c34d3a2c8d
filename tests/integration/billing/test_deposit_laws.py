"""Whatever happens to an order, every cent of its deposit is accounted for, in the rows and in the books."""

from datetime import UTC, date, datetime

import pytest
from django.db import transaction
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from apiary_ops.billing import queries, services
from apiary_ops.books import queries as books
from apiary_ops.kernel.refusals import RuleBroken
from tests.factories.billing import open_books, order_of
from tests.factories.people import UserFactory

pytestmark = pytest.mark.django_db

START = date(2027, 2, 20)  # nine days before refunds end by the terms

ACTS = st.lists(
    st.tuples(
        st.sampled_from(["take", "refund", "keep", "deliver", "cancel"]),
        st.integers(0, 1),  # which order
        st.integers(0, 1),  # which of its lines
        st.integers(0, 110),  # per cent of what is held, or of 200.00; nucs when taken modulo four
        st.sampled_from([0, 20]),  # days after the start
    ),
    min_size=8,
    max_size=16,
)


def carry_out(act, order, line, size, day, number, clerk):
    cents = (20_000 if act == "take" else queries.deposit_of(order).held_cents) * size // 100
    at = datetime(day.year, day.month, day.day, 12, tzinfo=UTC)
    common = {"order_id": order.pk, "actor": clerk}
    if act == "take":
        services.take_deposit(cents=cents, received_on=day, received_at=at, method="cash", **common)
    elif act == "refund":
        services.refund_deposit(cents=cents, on=day, method="cash", reason="", **common)
    elif act == "keep":
        services.keep_deposit(cents=cents, on=day, reason="", **common)
    elif act == "cancel":
        services.cancel_line(line_id=line.pk, on=day, at=at, reason="", actor=clerk)
    else:
        services.issue_invoice(
            source=f"delivery:{number}", supplied_on=day, issued_on=day, quantities={line.pk: size % 4}, **common
        )


@pytest.fixture
def clerk():
    open_books()
    return UserFactory()


@settings(max_examples=30, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(acts=ACTS)
def test_taken_is_always_applied_refunded_kept_moved_and_held(clerk, acts):
    with transaction.atomic():  # each history starts with no orders
        orders = [order_of(3, 2), order_of(2, percent="5")]

        for order in orders:
            carry_out("take", order, None, 100, START, "first", clerk)
        for number, (act, which, line_number, size, days) in enumerate(acts):
            order = orders[which]
            line = order.lines.order_by("pk")[line_number % order.lines.count()]
            day = date.fromordinal(START.toordinal() + days)
            try:
                carry_out(act, order, line, size, day, f"{order.number}-{number}", clerk)
            except RuleBroken:
                continue

        every_cent_is_accounted_for(orders)
        transaction.set_rollback(True)


def every_cent_is_accounted_for(orders):
    held = owed = 0
    for order in orders:
        deposit = queries.deposit_of(order)
        parts = [deposit.applied_cents, deposit.refunded_cents, deposit.kept_cents, deposit.moved_cents]
        assert deposit.taken_cents == sum(parts) + deposit.held_cents
        assert deposit.held_cents >= 0
        assert -books.balance("deposits-held", subject=f"order:{order.number}") == deposit.held_cents
        invoices = queries.invoices().filter(order=order)
        assert deposit.applied_cents == sum(invoices.values_list("deposit_cents", flat=True))
        held += deposit.held_cents
        owed += sum(invoice.owed_cents for invoice in invoices)
    season_id = orders[0].season_id
    assert queries.deposits_held_total(season_id) == -books.balance("deposits-held", season_id=season_id) == held
    assert queries.owed_total(season_id) == books.balance("receivable", season_id=season_id) == owed
    assert sum(row.cents for row in books.trial_balance()) == 0
