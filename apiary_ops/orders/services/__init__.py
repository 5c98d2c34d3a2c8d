"""Writes of buyers, rounds, prices, orders and their lines."""

from apiary_ops.orders.services.buyers import add_buyer, edit_buyer
from apiary_ops.orders.services.lines import (
    LineCannotMove,
    NothingToCancel,
    cancel_line,
    clear_deposit_complete,
    mark_deposit_complete,
    move_line,
)
from apiary_ops.orders.services.locks import lock_order
from apiary_ops.orders.services.placing import (
    LineDraft,
    NoPrice,
    NothingOrdered,
    RoundIsOver,
    SeasonIsClosed,
    WrongNumberOfNucs,
    WrongRound,
    edit_order,
    place_order,
)
from apiary_ops.orders.services.selling import (
    PriceOfNothing,
    RoundExists,
    RoundHasOrders,
    RoundNotInWeeks,
    edit_round,
    open_round,
    set_price,
)

__all__ = [
    "LineCannotMove",
    "LineDraft",
    "NoPrice",
    "PriceOfNothing",
    "NothingOrdered",
    "NothingToCancel",
    "RoundExists",
    "RoundHasOrders",
    "RoundIsOver",
    "RoundNotInWeeks",
    "SeasonIsClosed",
    "WrongNumberOfNucs",
    "WrongRound",
    "add_buyer",
    "cancel_line",
    "clear_deposit_complete",
    "edit_buyer",
    "edit_order",
    "edit_round",
    "lock_order",
    "mark_deposit_complete",
    "move_line",
    "open_round",
    "place_order",
    "set_price",
]
