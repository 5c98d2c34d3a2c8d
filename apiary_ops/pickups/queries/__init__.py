"""Reads of pickup days, of the bookings on them, and of what the gate needs to hand nucs over."""

from .bookings import BookingRow, booking_in_full, booking_rows, bookings_of, rows_of_days
from .days import day_in_full, days, days_on, days_to_book, free_windows, windows_of
from .gate import (
    LineChoice,
    NucChoice,
    hand_over_in_full,
    hand_overs_of,
    handed,
    is_owed,
    line_choices,
    open_booking,
    order_at_gate,
    orders_to_collect,
)
from .owed import Expected, expected

__all__ = [
    "BookingRow",
    "Expected",
    "LineChoice",
    "NucChoice",
    "booking_in_full",
    "booking_rows",
    "bookings_of",
    "day_in_full",
    "days",
    "days_on",
    "days_to_book",
    "expected",
    "free_windows",
    "hand_over_in_full",
    "hand_overs_of",
    "handed",
    "is_owed",
    "line_choices",
    "open_booking",
    "order_at_gate",
    "orders_to_collect",
    "rows_of_days",
    "windows_of",
]
