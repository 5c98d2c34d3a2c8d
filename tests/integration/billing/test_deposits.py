"""A deposit is a liability until nucs are handed over; every cent of it can be followed."""

from datetime import UTC, date, datetime
from uuid import uuid4

import pytest
from django.db import IntegrityError, transaction

from apiary_ops.billing import queries, services
from apiary_ops.billing.models import Deposit, DepositMove, Receipt
from apiary_ops.books import queries as books
from apiary_ops.books.services import Posting, post_entry
from apiary_ops.core.once import AlreadyDone
from tests.factories.billing import open_books, order_of
from tests.factories.people import UserFactory

pytestmark = pytest.mark.django_db

DAY = date(2027, 1, 15)
INSTANT = datetime(2027, 1, 15, 14, 30, tzinfo=UTC)
AFTER_REFUNDS = date(2027, 3, 2)


@pytest.fixture
def clerk():
    open_books()
    return UserFactory(office=True)


def take(order, cents, clerk, **changes):
    given = {
        "order_id": order.pk,
        "cents": cents,
        "received_on": DAY,
        "received_at": INSTANT,
        "method": "transfer",
        "actor": clerk,
    }
    return services.take_deposit(**(given | changes))


def refund(order, cents, clerk, **changes):
    given = {"order_id": order.pk, "cents": cents, "on": DAY, "method": "transfer", "reason": "asked", "actor": clerk}
    return services.refund_deposit(**(given | changes))


def keep(order, cents, clerk, **changes):
    given = {"order_id": order.pk, "cents": cents, "on": AFTER_REFUNDS, "reason": "cancelled late", "actor": clerk}
    return services.keep_deposit(**(given | changes))


def held_in_books(order):
    return -books.balance("deposits-held", subject=f"order:{order.number}")


def test_a_deposit_is_a_liability_of_its_order_and_not_income(clerk):
    order = order_of(2)

    receipt = take(order, 15000, clerk)

    assert receipt.number == "R2027-00001"
    assert (receipt.cents, receipt.purpose, receipt.method) == (15000, "deposit", "transfer")
    assert receipt.buyer == order.buyer
    assert queries.deposit_of(order).held_cents == 15000
    assert held_in_books(order) == 15000
    assert books.balance("bank") == 15000
    assert books.balance("nuc-sales") == 0
    assert books.balance("deposits-held", season_id=order.season_id) == -15000


@pytest.mark.parametrize(
    ("method", "account"), [("cash", "cash"), ("transfer", "bank"), ("cheque", "bank"), ("card", "card-clearing")]
)
def test_money_arrives_where_its_method_leads(clerk, method, account):
    take(order_of(2), 15000, clerk, method=method)

    assert books.balance(account) == 15000


def test_the_part_that_completes_the_deposit_gives_the_order_its_place(clerk):
    order = order_of(2)
    later = datetime(2027, 1, 20, 9, tzinfo=UTC)

    take(order, 14999, clerk)
    order.refresh_from_db()
    before = order.deposit_complete_at
    take(order, 1, clerk, received_at=later)
    order.refresh_from_db()
    take(order, 1000, clerk, received_at=datetime(2027, 2, 1, tzinfo=UTC))

    assert before is None
    assert order.deposit_complete_at == later


def test_a_deposit_above_what_the_order_costs_is_refused(clerk):
    order = order_of(2, price_cents=10000, percent="5")
    take(order, 20000, clerk)

    with pytest.raises(services.DepositTooLarge, match=r"2027-\d+ leave 10.00 CAD to pay. Enter that or less."):
        take(order, 1001, clerk)

    take(order, 1000, clerk)
    assert queries.deposit_of(order).held_cents == 21000


@pytest.mark.parametrize("cents", [0, -1])
def test_an_amount_of_nothing_is_refused(clerk, cents):
    with pytest.raises(services.NoAmount, match="must be more than zero"):
        take(order_of(2), cents, clerk)


def test_an_order_with_nothing_to_come_takes_no_deposit(clerk):
    order = order_of(2)
    services.cancel_line(line_id=order.lines.get().pk, on=DAY, at=INSTANT, reason="", actor=clerk)

    with pytest.raises(services.NothingStands, match="so it takes no deposit"):
        take(order, 100, clerk)


def test_a_form_sent_twice_takes_one_deposit(clerk):
    order, key = order_of(2), uuid4()
    receipt = take(order, 15000, clerk, once_key=key)

    with pytest.raises(AlreadyDone) as refusal:
        take(order, 15000, clerk, once_key=key)

    assert refusal.value.result == f"/billing/receipts/{receipt.number}/"
    assert queries.deposit_of(order).taken_cents == 15000
    assert Receipt.objects.count() == 1


def test_a_refund_gives_the_money_back_and_touches_no_income(clerk):
    order = order_of(2)
    take(order, 15000, clerk)

    move = refund(order, 15000, clerk)

    assert (move.kind, move.cents, move.reason) == ("refunded", 15000, "asked")
    assert queries.deposit_of(order).held_cents == 0
    assert held_in_books(order) == 0
    assert books.balance("bank") == 0
    assert books.balance("deposits-kept") == 0


def test_an_order_refunded_below_its_terms_loses_its_place(clerk):
    order = order_of(2)
    take(order, 16000, clerk)

    refund(order, 1000, clerk)
    order.refresh_from_db()
    kept_its_place = order.deposit_complete_at
    refund(order, 1, clerk)
    order.refresh_from_db()

    assert kept_its_place == INSTANT
    assert order.deposit_complete_at is None


def test_after_a_part_was_delivered_only_the_rest_must_be_covered(clerk):
    order = order_of(2)
    take(order, 15000, clerk)
    services.issue_invoice(
        order_id=order.pk,
        source="hand-over:1",
        supplied_on=DAY,
        issued_on=DAY,
        quantities={order.lines.get().pk: 1},
        actor=clerk,
    )

    standing = queries.deposit_standing(order, on=DAY)
    refund(order, 1, clerk)
    order.refresh_from_db()

    assert (standing.held, standing.still_asked, standing.spare, standing.room) == (7500, 0, 0, 22000)
    assert order.deposit_complete_at is None


def test_a_part_paid_order_is_asked_for_what_its_coming_nucs_still_lack(clerk):
    order = order_of(2)
    take(order, 10000, clerk)

    standing = queries.deposit_standing(order, on=DAY)

    assert (standing.held, standing.still_asked, standing.spare, standing.room) == (10000, 5000, 0, 49000)


def test_more_than_is_held_is_not_given_back(clerk):
    order = order_of(2)
    take(order, 15000, clerk)

    with pytest.raises(services.MoreThanHeld, match="Only 150.00 CAD of this deposit is still held."):
        refund(order, 15001, clerk)


def test_before_the_cut_off_the_terms_give_the_deposit_back(clerk):
    order = order_of(2)
    take(order, 15000, clerk)
    services.cancel_line(line_id=order.lines.get().pk, on=DAY, at=INSTANT, reason="", actor=clerk)

    with pytest.raises(services.NotByTheTerms, match="back until Mon 1 Mar 2027. Refund it."):
        keep(order, 15000, clerk, on=date(2027, 3, 1))


def test_a_deposit_kept_by_the_terms_is_other_income_on_that_day(clerk):
    order = order_of(2)
    take(order, 15000, clerk)
    services.cancel_line(line_id=order.lines.get().pk, on=AFTER_REFUNDS, at=INSTANT, reason="", actor=clerk)

    keep(order, 15000, clerk)

    assert books.balance("deposits-kept") == -15000
    assert books.balance("deposits-kept", until=date(2027, 3, 1)) == 0
    assert queries.deposit_of(order).kept_cents == 15000
    assert held_in_books(order) == 0


def test_what_holds_the_place_of_standing_nucs_is_not_kept(clerk):
    order = order_of(2, 1)
    take(order, 22500, clerk)
    services.cancel_line(line_id=order.lines.first().pk, on=AFTER_REFUNDS, at=INSTANT, reason="", actor=clerk)

    with pytest.raises(services.DepositStillAsked, match="Only 150.00 CAD is not needed"):
        keep(order, 15001, clerk)

    keep(order, 15000, clerk)
    assert queries.deposit_of(order).held_cents == 7500


def test_a_deposit_that_suffices_after_a_cancellation_gives_the_order_its_place(clerk):
    order = order_of(2, 1)
    take(order, 7500, clerk)

    cancelled_at = datetime(2027, 2, 3, 8, tzinfo=UTC)
    services.cancel_line(line_id=order.lines.first().pk, on=DAY, at=cancelled_at, reason="", actor=clerk)

    order.refresh_from_db()
    assert (order.deposit_due_cents, order.deposit_complete_at) == (7500, cancelled_at)


def test_the_list_of_deposits_held_adds_up_to_the_liability_account(clerk):
    first, second, third = order_of(2), order_of(1), order_of(1)
    take(first, 15000, clerk)
    take(second, 7500, clerk)
    take(third, 7500, clerk)
    refund(third, 7500, clerk)

    rows = list(queries.deposits_held(first.season_id))

    assert [(row.order, row.held) for row in rows] == [(second, 7500), (first, 15000)]
    assert queries.deposits_held_total(first.season_id) == 22500
    assert books.balance("deposits-held", season_id=first.season_id) == -22500


@pytest.mark.parametrize("total", ["taken_cents", "applied_cents", "refunded_cents", "kept_cents", "moved_cents"])
def test_no_hand_but_a_move_changes_a_deposit(clerk, total):
    order = order_of(2)
    take(order, 15000, clerk)

    with pytest.raises(IntegrityError, match="counted from its rows"), transaction.atomic():
        Deposit.objects.filter(order=order).update(**{total: 15001})


def test_moves_and_receipts_never_change(clerk):
    take(order_of(2), 15000, clerk)

    for rows in (DepositMove.objects.all(), Receipt.objects.all()):
        with pytest.raises(IntegrityError, match="never changes"), transaction.atomic():
            rows.update(cents=1)
        with pytest.raises(IntegrityError, match="never changes"), transaction.atomic():
            rows.delete()
    with pytest.raises(IntegrityError, match="never deleted"), transaction.atomic():
        Deposit.objects.create(order=order_of(1)).delete()


def test_the_database_lets_no_deposit_be_used_beyond_what_was_taken(clerk):
    order = order_of(2)
    take(order, 15000, clerk)
    entry = post_entry(
        source="test:1",
        purpose="test",
        posted_on=DAY,
        season_id=order.season_id,
        memo="behind the services",
        postings=[Posting("deposits-held", 15001), Posting("bank", -15001)],
        actor=clerk,
    )

    with pytest.raises(IntegrityError, match="no_more_deposit_used_than_taken"), transaction.atomic():
        DepositMove.objects.create(
            deposit=queries.deposit_of(order),
            kind="applied",
            cents=15001,
            on=DAY,
            source="test:1",
            entry=entry,
            recorded_by=clerk,
        )
