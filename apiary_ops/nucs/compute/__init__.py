"""Rules of nucs: what a batch takes from its donors, and when a nuc meets its sale standard."""

from .readiness import (
    OWN_BROOD_DAYS,
    Item,
    Readiness,
    Seen,
    Standard,
    readiness,
)
from .recipe import LATE_DAYS, Frames, expected_count, expected_ready_on, makes, needed, shortage

__all__ = [
    "LATE_DAYS",
    "OWN_BROOD_DAYS",
    "Frames",
    "Item",
    "Readiness",
    "Seen",
    "Standard",
    "expected_count",
    "expected_ready_on",
    "makes",
    "needed",
    "readiness",
    "shortage",
]
