"""Writes of capacity: the stored forecast, and what the owner and the office state."""

from .calibration import NoLongerOffered, accept_own_factor
from .cells import ask_for_cell_checks
from .forecast import make_forecast
from .stated import (
    AssumptionOutOfRange,
    SpringsOutOfOrder,
    WeekDraft,
    WeekNotAMonday,
    edit_assumptions,
    state_weeks,
)

__all__ = [
    "accept_own_factor",
    "NoLongerOffered",
    "AssumptionOutOfRange",
    "SpringsOutOfOrder",
    "WeekDraft",
    "WeekNotAMonday",
    "ask_for_cell_checks",
    "edit_assumptions",
    "make_forecast",
    "state_weeks",
]
