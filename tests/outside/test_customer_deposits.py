"""Deposits, refunds and forfeits against published worked examples of customer deposits, through the real services.

Sources: OpenStax, Principles of Accounting 1, section 12.2 (Sierra Sports: 20 sets at 30 paid ahead, delivered in
full, and in halves; an advance for one date), section 12.1 (a prepaid season plan) and section 4.2 (retainers part
earned). Refund and forfeit: ASC 606-10-45-2 and 55-46 to 55-49 in the Deloitte roadmap's summary; that a forfeit is
income on its own day and not at receipt is our reading.
"""

from datetime import UTC, date, datetime

import pytest

from apiary_ops.billing import services
from apiary_ops.books import queries as books
from tests.factories.billing import open_books, order_of
from tests.factories.people import UserFactory

pytestmark = pytest.mark.django_db

APR_3, MAY_6, JUN_2 = date(2027, 4, 3), date(2027, 5, 6), date(2027, 6, 2)


@pytest.fixture
def clerk():
    open_books()
    return UserFactory(bookkeeper=True)


def paid_ahead(order, cents, on, clerk):
    services.take_deposit(
        order_id=order.pk,
        cents=cents,
        received_on=on,
        received_at=datetime(on.year, on.month, on.day, 12, tzinfo=UTC),
        method="cash",
        actor=clerk,
    )


def delivered(order, pieces, on, clerk):
    return services.issue_invoice(
        order_id=order.pk,
        source=f"delivery:{on.isoformat()}",
        supplied_on=on,
        issued_on=on,
        quantities={order.lines.get().pk: pieces},
        actor=clerk,
    )


def cancelled(order, on, clerk):
    services.cancel_line(
        line_id=order.lines.get().pk,
        on=on,
        at=datetime(on.year, on.month, on.day, 12, tzinfo=UTC),
        reason="",
        actor=clerk,
    )


def standing(until):
    """Cash, liability and revenue in whole currency units, as the book prints them."""
    cash, liability, revenue = (books.balance(key, until=until) for key in ("cash", "deposits-held", "nuc-sales"))
    return cash / 100, -liability / 100, -revenue / 100


def test_paid_in_full_and_delivered_in_full(clerk):
    # Sierra Sports: Apr 3 Dr Cash 600 / Cr Unearned 600; May 6 Dr Unearned 600 / Cr Revenue 600.
    order = order_of(20, price_cents=3000)

    paid_ahead(order, 60000, APR_3, clerk)
    paper = delivered(order, 20, MAY_6, clerk)

    assert standing(APR_3) == (600, 600, 0)
    assert standing(MAY_6) == (600, 0, 600)
    assert paper.owed_cents == 0


def test_paid_in_full_and_delivered_in_halves(clerk):
    # Sierra Sports in halves: revenue 300 on May 6 and 300 on Jun 2; the liability goes 600, 300, 0.
    order = order_of(20, price_cents=3000)

    paid_ahead(order, 60000, APR_3, clerk)
    delivered(order, 10, MAY_6, clerk)
    delivered(order, 10, JUN_2, clerk)

    assert [standing(day) for day in (APR_3, MAY_6, JUN_2)] == [(600, 600, 0), (600, 300, 300), (600, 0, 600)]
    assert books.balance("receivable") == 0


def test_a_season_plan_is_earned_in_its_three_parts(clerk):
    # Oct 15 Dr Cash 120 / Cr Unearned 120; three deliveries of 40 each; here in one season.
    order = order_of(3, price_cents=4000)
    days = [date(2026, 11, 1), date(2027, 2, 1), date(2027, 4, 1)]

    paid_ahead(order, 12000, date(2026, 10, 15), clerk)
    for day in days:
        delivered(order, 1, day, clerk)

    assert [standing(day)[1:] for day in days] == [(80, 40), (40, 80), (0, 120)]
    # The book's years: 40 of revenue before the new year, 80 after.
    assert standing(date(2026, 12, 31))[2] == 40


def test_an_advance_for_one_date(clerk):
    # Mar 25 Dr Cash / Cr Unearned 5,500; Jun 10 Dr Unearned / Cr Revenue 5,500.
    order = order_of(1, price_cents=550_000)

    paid_ahead(order, 550_000, date(2027, 3, 25), clerk)
    delivered(order, 1, date(2027, 6, 10), clerk)

    assert standing(date(2027, 6, 9)) == (5500, 5500, 0)
    assert standing(date(2027, 6, 10)) == (5500, 0, 5500)


def test_retainers_two_fifths_earned(clerk):
    # Collected 48,000; 40 % earned: revenue 19,200, liability 28,800.
    order = order_of(10, price_cents=480_000)

    paid_ahead(order, 4_800_000, APR_3, clerk)
    delivered(order, 4, MAY_6, clerk)

    assert standing(MAY_6) == (48_000, 28_800, 19_200)


def test_money_paid_before_the_goods_is_no_revenue_even_when_the_order_may_be_cancelled(clerk):
    # Cancellable contract: nothing on Jan 31; Mar 1 Dr Cash / Cr liability 1,000; Mar 31 Dr liability / Cr Revenue.
    order = order_of(1, price_cents=100_000)

    paid_ahead(order, 100_000, date(2027, 3, 1), clerk)
    delivered(order, 1, date(2027, 3, 31), clerk)

    days = [date(2027, 1, 31), date(2027, 3, 1), date(2027, 3, 31)]
    assert [standing(day) for day in days] == [(0, 0, 0), (1000, 1000, 0), (1000, 0, 1000)]


def test_a_refund_never_touches_revenue(clerk):
    # Dr Unearned / Cr Cash.
    order = order_of(20, price_cents=3000)
    paid_ahead(order, 60000, APR_3, clerk)

    services.refund_deposit(order_id=order.pk, cents=60000, on=MAY_6, method="cash", reason="asked", actor=clerk)

    assert standing(MAY_6) == (0, 0, 0)
    assert all(books.balance(key) == 0 for key in ("other-sales", "deposits-kept", "receivable"))


def test_a_forfeit_is_other_income_on_the_day_it_is_forfeited(clerk):
    # Dr Unearned / Cr other revenue at the forfeiture date, not at receipt.
    order = order_of(20, price_cents=3000)
    paid_ahead(order, 60000, APR_3, clerk)
    cancelled(order, MAY_6, clerk)

    services.keep_deposit(order_id=order.pk, cents=60000, on=MAY_6, reason="by the terms", actor=clerk)

    assert standing(MAY_6) == (600, 0, 0)
    assert books.balance("deposits-kept", until=date(2027, 5, 5)) == 0
    assert books.balance("deposits-kept", until=MAY_6) == -60000
