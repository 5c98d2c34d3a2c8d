"""Writes of the field book: records land once, and a person settles what could not."""

from .landing import Outcome, ParentMissing, ParentSetAside, land_records
from .settling import (
    ACTS,
    AGAIN,
    ASIDE,
    INSIST,
    ActNotOpen,
    AlreadySettled,
    ReasonMissing,
    StillRefused,
    StillWaits,
    settle_record,
)

__all__ = [
    "ACTS",
    "AGAIN",
    "ASIDE",
    "INSIST",
    "ActNotOpen",
    "AlreadySettled",
    "Outcome",
    "ParentMissing",
    "ParentSetAside",
    "ReasonMissing",
    "StillRefused",
    "StillWaits",
    "land_records",
    "settle_record",
]
