"""Writes of promises."""

from .promises import LineNotOpen, OverrideNeedsOwner, promise_line, refresh_releases
from .telling import NothingPromised, TellingOutOfShape, tell

__all__ = [
    "LineNotOpen",
    "NothingPromised",
    "OverrideNeedsOwner",
    "TellingOutOfShape",
    "promise_line",
    "refresh_releases",
    "tell",
]
