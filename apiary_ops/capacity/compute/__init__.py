"""The arithmetic of capacity: how colonies build up and what they can give. Plain Python and NumPy."""

from .buildup import (
    NEVER,
    Removal,
    Trajectory,
    assumed_sealed_frames,
    build_up,
    nuc_ready_on,
    season_curve,
)
from .parameters import DEFAULTS, PARAMETERS, SPRING_SHIFTS, BuildUp, Parameter, checked
from .surplus import (
    Binding,
    ColonyStart,
    Keep,
    Recipe,
    YardWeek,
    alone,
    binding,
    givable_brood,
    pooled,
    three_springs,
)

__all__ = [
    "DEFAULTS",
    "NEVER",
    "PARAMETERS",
    "SPRING_SHIFTS",
    "Binding",
    "BuildUp",
    "ColonyStart",
    "Keep",
    "Parameter",
    "Recipe",
    "Removal",
    "Trajectory",
    "YardWeek",
    "alone",
    "assumed_sealed_frames",
    "binding",
    "build_up",
    "checked",
    "givable_brood",
    "nuc_ready_on",
    "pooled",
    "season_curve",
    "three_springs",
]
