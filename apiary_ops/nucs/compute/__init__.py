"""Rules of nucs: what a batch takes from its donors, and when a nuc meets its sale standard."""

from .queen import DETOURS, queen_state
from .readiness import (
    OWN_BROOD_DAYS,
    Item,
    Readiness,
    Seen,
    Standard,
    frames_text,
    readiness,
)
from .recipe import LATE_DAYS, Frames, expected_count, expected_ready_on, makes, needed, shortage

__all__ = [
    "DETOURS",
    "LATE_DAYS",
    "OWN_BROOD_DAYS",
    "Frames",
    "Item",
    "Readiness",
    "Seen",
    "Standard",
    "expected_count",
    "expected_ready_on",
    "frames_text",
    "makes",
    "needed",
    "queen_state",
    "readiness",
    "shortage",
]
