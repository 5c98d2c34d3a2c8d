"""Forms of the nuc pages: text into days, frames and drafts."""

from .acts import EndNuc, HoldNuc, IntroduceQueens, PlanSplitDay, Requeen
from .batch import MakeBatch
from .checks import CheckSheet
from .kinds import KIND_FIELDS, AddKind, EditKind

__all__ = [
    "KIND_FIELDS",
    "AddKind",
    "CheckSheet",
    "EditKind",
    "EndNuc",
    "HoldNuc",
    "IntroduceQueens",
    "MakeBatch",
    "PlanSplitDay",
    "Requeen",
]
