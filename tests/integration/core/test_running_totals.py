"""A running total is what its rows come to: nobody sets it by hand, on either engine."""

import pytest
from django.db import IntegrityError, connection, transaction

TOTALS = {
    "nucs_batch": "made",
    "queens_lot": "introduced",
    "queens_queenorder": "received_queens",
    "pickups_window": "booked",
    "orders_line": "collected",
    "promise_release": "promised",
    "costs_bill": "paid_cents",
    "billing_deposit": "taken_cents",
    "billing_invoice": "paid_cents",
}


def set_by_hand(table: str, change: str) -> None:
    total = TOTALS[table]
    with connection.cursor() as cursor:
        cursor.execute(f"SELECT id FROM {table} ORDER BY {total} DESC, id")
        row = cursor.fetchone()[0]
        with pytest.raises(IntegrityError, match=f"{total} is counted from its rows"), transaction.atomic():
            cursor.execute(f"UPDATE {table} SET {total} = {total} {change} WHERE id = {row}")


@pytest.mark.parametrize("table", TOTALS)
def test_no_running_total_is_raised_by_hand(tiny, table):
    set_by_hand(table, "+ 1")


@pytest.mark.parametrize("table", [table for table in TOTALS if table != "pickups_window"])
def test_no_running_total_is_lowered_by_hand(tiny, table):
    set_by_hand(table, "- 1")
