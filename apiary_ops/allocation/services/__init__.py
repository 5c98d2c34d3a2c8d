"""Writes of plans, pins and bindings."""

from .bindings import (
    AlreadyReleased,
    MoreThanOwed,
    NotPromised,
    NucAlreadyGiven,
    NucNotFit,
    WrongKind,
    bind_nucs,
    release_binding,
)
from .pins import AlreadyPinned, CannotPin, pin_line, unpin_line
from .plans import StalePlan, accept_plan, propose_plan

__all__ = [
    "AlreadyPinned",
    "AlreadyReleased",
    "CannotPin",
    "MoreThanOwed",
    "NotPromised",
    "NucAlreadyGiven",
    "NucNotFit",
    "StalePlan",
    "WrongKind",
    "accept_plan",
    "bind_nucs",
    "pin_line",
    "propose_plan",
    "release_binding",
    "unpin_line",
]
