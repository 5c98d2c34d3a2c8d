"""What is known of capacity: the assumptions, the stored forecast, and what its numbers come to by week and yard."""

from .binding import BindingWeek, ResourceLimit, binding, binding_weeks
from .calibration import own_factors
from .capacity import (
    CapacityWeek,
    KindCapacity,
    YardCapacity,
    could_make_late,
    kind_capacity,
    picture_weeks,
    season_capacity,
    yard_capacity,
)
from .forecast import (
    Inputs,
    LatestForecast,
    forecast_inputs,
    has_failed,
    is_recomputing,
    is_waiting,
    latest_forecast,
    nucs_made,
)
from .stated import assumption_label, assumptions, stated_assumptions, week_limits, weeks_to_state
from .swarms import SwarmRow, SwarmWatch, asks_for_cells, cells_asked, swarm_watch

__all__ = [
    "own_factors",
    "BindingWeek",
    "CapacityWeek",
    "Inputs",
    "KindCapacity",
    "LatestForecast",
    "ResourceLimit",
    "SwarmRow",
    "SwarmWatch",
    "YardCapacity",
    "asks_for_cells",
    "assumption_label",
    "assumptions",
    "binding",
    "binding_weeks",
    "cells_asked",
    "could_make_late",
    "forecast_inputs",
    "has_failed",
    "is_recomputing",
    "is_waiting",
    "kind_capacity",
    "latest_forecast",
    "nucs_made",
    "picture_weeks",
    "season_capacity",
    "stated_assumptions",
    "swarm_watch",
    "week_limits",
    "weeks_to_state",
    "yard_capacity",
]
