"""Doors to nucs: the list, split days, batches, one nuc, kinds."""

from .batches import batch_page, check_batch, introduce_queens, make_batch
from .days import plan_split_day, split_day_list, split_day_page
from .kinds import add_kind, edit_kind, kind_list
from .nucs import check_nuc, end_nuc, hold_nuc, nuc_list, nuc_page, release_nuc, requeen

__all__ = [
    "add_kind",
    "batch_page",
    "check_batch",
    "check_nuc",
    "edit_kind",
    "end_nuc",
    "hold_nuc",
    "introduce_queens",
    "kind_list",
    "make_batch",
    "nuc_list",
    "nuc_page",
    "plan_split_day",
    "release_nuc",
    "requeen",
    "split_day_list",
    "split_day_page",
]
