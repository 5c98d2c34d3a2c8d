"""Writes of promises."""

from .promises import LineNotOpen, OverrideNeedsOwner, promise_line, refresh_releases
from .telling import NothingPromised, TellingOutOfShape, tell
from .turns import Turns, promise_in_turn

__all__ = [
    "LineNotOpen",
    "NothingPromised",
    "OverrideNeedsOwner",
    "TellingOutOfShape",
    "Turns",
    "promise_in_turn",
    "promise_line",
    "refresh_releases",
    "tell",
]
