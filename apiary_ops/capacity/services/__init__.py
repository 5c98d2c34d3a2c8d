"""Writes of capacity: the stored forecast, and what the owner and the office state."""

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
    "AssumptionOutOfRange",
    "SpringsOutOfOrder",
    "WeekDraft",
    "WeekNotAMonday",
    "edit_assumptions",
    "make_forecast",
    "state_weeks",
]
