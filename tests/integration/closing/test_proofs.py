"""Every proof agrees on a whole season, and each one fails, with the exception named, when its fact is broken."""

from datetime import date

import pytest
from django.core.management import CommandError, call_command
from django.db import connection

from apiary_ops.books.services import Posting, close_fiscal_year, post_entry
from apiary_ops.closing import queries
from apiary_ops.core import guards
from apiary_ops.nucs.models import Nuc
from apiary_ops.nucs.services import end_nuc
from tests.factories.business import SeasonFactory


@pytest.fixture
def break_in():
    """Do with the database what no service does: `break_in("UPDATE ...")`, guards lifted until the test ends."""

    def run(sql):
        guards.lift(connection)
        with connection.cursor() as cursor:
            cursor.execute(sql)
            assert cursor.rowcount > 0, sql

    return run


def differing(tiny):
    return {proof.name: proof for proof in queries.proofs(tiny.season.pk) if not proof.agrees}


def texts(proof):
    return [finding.text for finding in proof.exceptions]


def by_hand(tiny, account, cents, subject=""):
    """An entry of the bookkeeper against the bank."""
    post_entry(
        source=f"manual:{account}",
        purpose="manual",
        posted_on=date(2027, 6, 10),
        season_id=tiny.season.pk,
        memo="by hand",
        postings=[Posting(account, cents, subject), Posting("bank", -cents)],
        actor=tiny.owner,
    )


# --- A whole season.


def test_every_proof_of_a_whole_season_agrees(tiny):
    found = queries.proofs(tiny.season.pk)

    assert [(proof.name, proof.left, proof.unit) for proof in found] == [
        ("Nucs made", 10, "nucs"),
        ("Nucs handed over", 6, "nucs"),
        ("Nucs promised", 6, "nucs"),
        ("Queens received", 14, "queens"),
        ("Queens in nucs", 11, "queens"),
        # 14 x 48.00 + 35.00 + 12.00 = 719.00 over 13 live queens: ten cost 55.31 and three 55.30.
        ("Queens on hand", 55_30, "cents"),
        ("Nucs in hand", 55_31 + 55_30, "cents"),
        ("Deposits taken", 8 * 75_00, "cents"),
        ("Deposits held", 0, "cents"),
        # Five spring nucs at 295.00; a small one at 249.99 with 5 % tax, 12.50.
        ("Invoiced", 5 * 295_00 + 262_49, "cents"),
        ("Owed by buyers", 2 * (295_00 - 75_00), "cents"),
        # Queens 719.00, boxes and feed 230.01, the spring's bill 737.00 less 400.00 paid.
        ("Owed to suppliers", 719_00 + 230_01 + 337_00, "cents"),
        ("Nuc sales", 5 * 295_00 + 249_99, "cents"),
        ("Costs", 2_024_80, "cents"),
        ("Trial balance", 8_152_50, "cents"),
    ]
    assert [proof.name for proof in found if not proof.agrees] == []


def test_both_sides_are_counted_part_by_part(tiny):
    made = queries.proofs(tiny.season.pk)[0]

    assert [tuple(part) for part in made.right_parts] == [
        ("handed over", 6),
        ("in hand", 1),
        ("lost", 1),
        ("united", 1),
        ("kept as colonies", 1),
        ("came back, so counted twice", 0),
    ]


def test_another_seasons_figures_stay_out(tiny):
    other = SeasonFactory(year=2028)

    found = queries.proofs(other.pk)

    # The books are one: all debits and credits stand in the trial balance of every season.
    assert [proof.name for proof in found if proof.left or proof.right] == ["Trial balance"]


@pytest.mark.parametrize("later", [None, "lost", "kept"])
def test_a_nuc_that_came_back_is_counted_once_whatever_becomes_of_it(tiny, later):
    nuc = Nuc.objects.filter(state="handed over").order_by("number").first()
    nuc.state = Nuc.State.RETURNED
    nuc.save(update_fields=["state"])
    if later:
        end_nuc(nuc_id=nuc.pk, state=later, on=date(2027, 6, 20), cause="no queen", actor=tiny.owner)

    assert differing(tiny) == {}


def test_everything_still_agrees_once_the_fiscal_year_is_closed(tiny):
    close_fiscal_year(year=2027, actor=tiny.owner)

    assert differing(tiny) == {}


# --- Planted faults.


def test_a_batch_that_counts_a_nuc_too_few(tiny, break_in):
    break_in(f"UPDATE nucs_batch SET made = made - 1 WHERE id = {tiny.batch.pk}")

    broken = differing(tiny)

    assert list(broken) == ["Nucs made"]
    assert texts(broken["Nucs made"]) == [f"Batch {tiny.batch.pk}: 6 against 7."]


def test_a_nuc_that_left_and_stands_in_the_yard_again(tiny, break_in):
    nuc = Nuc.objects.filter(state="handed over").order_by("number").first()
    break_in(f"UPDATE nucs_nuc SET state = 'laying' WHERE id = {nuc.pk}")

    broken = differing(tiny)

    assert "Nucs made" in broken
    assert texts(broken["Nucs made"]) == [f"Nuc {nuc.number} was handed over and is laying."]
    assert broken["Nucs made"].difference == -1
    # Its cost is no longer where the books have it.
    assert "Nucs in hand" in broken


def test_a_nuc_that_left_without_a_hand_over(tiny, break_in):
    nuc = Nuc.objects.get(state="laying")
    break_in(f"UPDATE nucs_nuc SET state = 'handed over', ended_on = '2027-06-02' WHERE id = {nuc.pk}")

    broken = differing(tiny)

    assert texts(broken["Nucs made"]) == [f"Nuc {nuc.number} is handed over and no hand-over names it."]


def test_an_invoice_for_one_nuc_more_than_was_handed_over(tiny, break_in):
    number = tiny.orders["neighbour"].number
    break_in(
        f"UPDATE billing_invoiceline SET quantity = 3 WHERE order_line_id = {tiny.orders['neighbour'].lines.get().pk}"
    )

    broken = differing(tiny)

    assert list(broken) == ["Nucs handed over"]
    assert texts(broken["Nucs handed over"]) == [f"Order {number}, handed over and invoiced: 2 against 3."]


def test_a_line_that_forgot_a_collected_nuc(tiny, break_in):
    order = tiny.orders["beginner"]
    break_in(f"UPDATE orders_line SET collected = 0 WHERE order_id = {order.pk}")

    broken = differing(tiny)

    assert list(broken) == ["Nucs handed over"]
    assert broken["Nucs handed over"].difference == 0
    assert texts(broken["Nucs handed over"]) == [
        f"Order {order.number}, handed over and counted on its lines: 1 against 0."
    ]


def test_a_round_that_counts_a_promise_too_few(tiny, break_in):
    break_in(f"UPDATE promise_release SET promised = promised - 1 WHERE kind_id = {tiny.spring.pk}")

    broken = differing(tiny)

    assert list(broken) == ["Nucs promised"]
    assert texts(broken["Nucs promised"]) == ["first round · 5-frame spring nuc: 4 against 5."]


def test_a_lot_that_counts_a_dead_queen_too_many(tiny, break_in):
    break_in(f"UPDATE queens_lot SET dead = dead + 1 WHERE id = {tiny.lot.pk}")

    broken = differing(tiny)

    assert list(broken) == ["Queens received"]
    assert texts(broken["Queens received"]) == [f"Lot {tiny.lot.code}: 14 against 13."]


def test_a_queen_that_left_the_bank_and_reached_no_nuc(tiny, break_in):
    break_in(f"UPDATE queens_queenmove SET queens = queens + 1 WHERE source = 'batch:{tiny.batch.pk}'")

    broken = differing(tiny)

    assert set(broken) == {"Queens received", "Queens in nucs"}
    assert texts(broken["Queens in nucs"]) == [f"Batch {tiny.batch.pk}: 9 against 8."]


def test_queens_that_took_too_little_cost_along(tiny, break_in):
    break_in("UPDATE queens_queenmove SET cost_cents = cost_cents - 100 WHERE kind = 'dead'")

    broken = differing(tiny)

    assert list(broken) == ["Queens on hand"]
    assert texts(broken["Queens on hand"]) == [f"Lot {tiny.lot.code}: 55.30 against 56.30."]


def test_a_live_nuc_that_cost_more_than_the_books_hold(tiny, break_in):
    break_in("UPDATE nucs_nuc SET queen_cost_cents = queen_cost_cents + 100 WHERE state = 'laying'")

    broken = differing(tiny)

    assert list(broken) == ["Nucs in hand"]
    assert texts(broken["Nucs in hand"]) == [f"Batch {tiny.batch.pk}: 110.61 against 111.61."]


def test_an_invoice_that_used_less_deposit_than_the_order_gave(tiny, break_in):
    order = tiny.orders["neighbour"]
    break_in(f"UPDATE billing_invoice SET deposit_cents = deposit_cents - 1000 WHERE order_id = {order.pk}")

    broken = differing(tiny)

    assert texts(broken["Deposits taken"]) == [f"Order {order.number}: 150.00 against 140.00."]
    assert set(broken) == {"Deposits taken", "Invoiced", "Owed by buyers"}


def test_an_entry_by_hand_on_deposits_held(tiny):
    by_hand(tiny, "deposits-held", -40_00)

    broken = differing(tiny)

    assert list(broken) == ["Deposits held"]
    assert texts(broken["Deposits held"]) == ["Of “–” in the books: 0.00 against 40.00."]


def test_a_payment_smaller_than_the_invoice_says(tiny, break_in):
    order = tiny.orders["beginner"]
    break_in(
        "UPDATE billing_invoicepayment SET cents = cents - 49 WHERE invoice_id IN"
        f" (SELECT id FROM billing_invoice WHERE order_id = {order.pk})"
    )

    broken = differing(tiny)

    assert list(broken) == ["Invoiced"]
    assert texts(broken["Invoiced"]) == [f"Order {order.number}: 262.49 against 262.00."]


def test_a_buyer_who_owes_less_in_the_books(tiny):
    by_hand(tiny, "receivable", -20_00, subject=f"buyer:{tiny.orders['farm'].buyer_id}")

    broken = differing(tiny)

    assert list(broken) == ["Owed by buyers"]
    assert texts(broken["Owed by buyers"]) == ["Birch Hollow Farm: 440.00 against 420.00."]


def test_a_bill_that_forgot_a_payment(tiny, break_in):
    break_in("UPDATE costs_bill SET paid_cents = 0 WHERE reference = 'H-3'")

    broken = differing(tiny)

    assert list(broken) == ["Owed to suppliers"]
    assert texts(broken["Owed to suppliers"]) == ["Harbour Feed: 967.01 against 567.01."]


def test_an_invoice_line_that_says_more_than_its_entry(tiny, break_in):
    order = tiny.orders["beginner"]
    break_in(f"UPDATE billing_invoiceline SET net_cents = net_cents + 100 WHERE order_line_id = {order.lines.get().pk}")

    broken = differing(tiny)

    assert list(broken) == ["Nuc sales"]
    assert texts(broken["Nuc sales"]) == [f"Order {order.number}: 249.99 against 250.99."]


def test_an_entry_by_hand_on_the_cost_of_nucs(tiny):
    by_hand(tiny, "cost-of-nucs", 10_00)

    broken = differing(tiny)

    assert list(broken) == ["Costs"]
    assert texts(broken["Costs"]) == ["Of “–” in the books: 10.00 against 0.00."]


def test_two_errors_that_cancel_out_are_still_named(tiny):
    by_hand(tiny, "cost-of-nucs", 10_00, subject=f"batch:{tiny.batch.pk}")
    by_hand(tiny, "nuc-losses", -10_00, subject=f"batch:{tiny.batch.pk}")

    broken = differing(tiny)

    assert list(broken) == ["Costs"]
    assert broken["Costs"].difference == 0
    assert texts(broken["Costs"]) == [
        f"Batch {tiny.batch.pk}: 286.55 against 276.55.",
        f"Batch {tiny.batch.pk}: 45.31 against 55.31.",
    ]


def test_a_posting_that_lost_a_cent(tiny, break_in):
    entry = tiny.hand_overs[0].invoice.entry_id
    break_in(f"UPDATE books_line SET cents = cents + 1 WHERE entry_id = {entry} AND cents > 0")

    broken = differing(tiny)

    assert "Trial balance" in broken
    assert texts(broken["Trial balance"]) == [f"Entry {entry}: its lines do not sum to zero."]


def test_every_exception_leads_to_a_page(tiny, break_in, client):
    client.force_login(tiny.owner)
    for sql in (
        f"UPDATE nucs_batch SET made = made - 1 WHERE id = {tiny.batch.pk}",
        "UPDATE nucs_nuc SET state = 'laying' WHERE state = 'handed over'",
        "UPDATE billing_invoiceline SET quantity = quantity + 1, net_cents = net_cents + 100",
        "UPDATE promise_release SET promised = promised - 1",
        "UPDATE queens_lot SET dead = dead + 1",
        "UPDATE billing_invoice SET deposit_cents = deposit_cents - 1000",
        "UPDATE costs_bill SET paid_cents = 0",
        "UPDATE books_line SET cents = cents + 1",
    ):
        break_in(sql)
    by_hand(tiny, "cost-of-nucs", 10_00, subject="buyer:nobody")

    findings = [finding for proof in differing(tiny).values() for finding in proof.exceptions]

    assert len(findings) > 20
    assert [url for _text, url in findings if client.get(url).status_code != 200] == []


# --- The command.


def test_the_command_says_that_all_agrees(tiny, capsys):
    call_command("check_books")

    said = capsys.readouterr().out
    assert "  agrees   Deposits taken: 600.00 CAD = 600.00 CAD" in said
    assert "every entry is sealed and sums to zero" in said
    assert said.endswith("15 proofs agree.\n")


def test_the_command_fails_and_names_the_exception(tiny, break_in, capsys):
    break_in(f"UPDATE queens_lot SET dead = dead + 1 WHERE id = {tiny.lot.pk}")

    with pytest.raises(CommandError, match="1 of 15 proofs differ; broken entries: 0."):
        call_command("check_books", season=2027)

    said = capsys.readouterr().out
    assert "  DIFFERS  Queens received: 14 queens ≠ 13 queens" in said
    assert f"Lot {tiny.lot.code}: 14 against 13." in said


def test_the_command_finds_two_entries_whose_errors_cancel_out(tiny, break_in, capsys):
    # The bank's lines of two deposits: no sub-ledger stands against the bank yet.
    one, other = (tiny.orders[key].receipts.get(purpose="deposit").entry_id for key in ("farm", "late"))
    break_in(f"UPDATE books_line SET cents = cents + 1 WHERE entry_id = {one} AND cents > 0")
    break_in(f"UPDATE books_line SET cents = cents - 1 WHERE entry_id = {other} AND cents > 0")

    with pytest.raises(CommandError, match="0 of 15 proofs differ; broken entries: 2."):
        call_command("check_books")

    assert f"Entry {one}: its lines do not sum to zero." in capsys.readouterr().out


def test_the_command_finds_an_entry_without_its_seal(tiny, break_in, capsys):
    entry = tiny.hand_overs[0].invoice.entry
    break_in(f"DELETE FROM books_seal WHERE id = '{_stored(entry.sealed_id)}'")

    with pytest.raises(CommandError, match="0 of 15 proofs differ; broken entries: 1."):
        call_command("check_books")

    assert f"Entry {entry.pk} has no seal." in capsys.readouterr().out
    # Given back, or the database would refuse the whole test at its end.
    break_in(
        f"INSERT INTO books_seal (id, sealed_at) VALUES ('{_stored(entry.sealed_id)}', '2027-06-02 09:00:00+00:00')"
    )


def _stored(key):
    """A UUID as the engine stores it."""
    return key.hex if connection.vendor == "sqlite" else str(key)
