"""Queens ordered, received, and leaving the bank."""

from .lots import MoreDeadThanArrived, MoreThanOrdered, NothingToPay, OrderWasCancelled, ReceivedTooEarly, receive_lot
from .moves import AlreadyTaken, NothingTaken, NotLandedYet, QueensNotThere, record_dead_queens, take_queens
from .orders import (
    AllReceived,
    CancelledTooEarly,
    FewerThanReceived,
    NoQueensAsked,
    NotABreeder,
    ShipsTooEarly,
    cancel_queen_order,
    edit_queen_order,
    order_queens,
)

__all__ = [
    "AllReceived",
    "AlreadyTaken",
    "CancelledTooEarly",
    "FewerThanReceived",
    "MoreDeadThanArrived",
    "MoreThanOrdered",
    "NoQueensAsked",
    "NotABreeder",
    "NotLandedYet",
    "NothingTaken",
    "NothingToPay",
    "OrderWasCancelled",
    "QueensNotThere",
    "ReceivedTooEarly",
    "ShipsTooEarly",
    "cancel_queen_order",
    "edit_queen_order",
    "order_queens",
    "receive_lot",
    "record_dead_queens",
    "take_queens",
]
