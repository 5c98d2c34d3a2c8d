"""Writes of pickup days, bookings and hand-overs."""

from apiary_ops.pickups.compute import WindowDraft

from .bookings import (
    AlreadyBooked,
    BookingIsOver,
    DayIsClosed,
    NothingToCollect,
    WindowFull,
    book,
    cancel_booking,
    miss_booking,
    move_booking,
)
from .days import DayAlreadyOpen, NotAPickupYard, NoWindows, OutsideSeason, WindowsOverlap, open_pickup_day
from .hand_overs import (
    AnotherOrder,
    KeyUsedElsewhere,
    NobodyTakesThem,
    NothingToHandOver,
    NucAlreadyHandedOver,
    PaidTooMuch,
    hand_over,
)
from .numbers import choose_nucs

__all__ = [
    "AlreadyBooked",
    "AnotherOrder",
    "BookingIsOver",
    "DayAlreadyOpen",
    "DayIsClosed",
    "KeyUsedElsewhere",
    "NoWindows",
    "NobodyTakesThem",
    "NotAPickupYard",
    "NothingToCollect",
    "NothingToHandOver",
    "NucAlreadyHandedOver",
    "OutsideSeason",
    "PaidTooMuch",
    "WindowDraft",
    "WindowFull",
    "WindowsOverlap",
    "book",
    "cancel_booking",
    "choose_nucs",
    "hand_over",
    "miss_booking",
    "move_booking",
    "open_pickup_day",
]
