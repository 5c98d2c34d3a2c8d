"""Pages of pickup days, of bookings, and of the gate."""

from .bookings import book, booking_page, cancel_booking, choose_nucs, miss_booking, move_booking
from .days import day_list, day_page, open_day, run_sheet
from .gate import gate, hand_over, handed_over

__all__ = [
    "book",
    "booking_page",
    "cancel_booking",
    "choose_nucs",
    "day_list",
    "day_page",
    "gate",
    "hand_over",
    "handed_over",
    "miss_booking",
    "move_booking",
    "open_day",
    "run_sheet",
]
