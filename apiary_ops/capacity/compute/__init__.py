"""The arithmetic of capacity: how colonies build up and what they can give. Plain Python and NumPy."""

from .assumed import ASSUMED, assumed, is_of_this_spring, make_up_weeks
from .buildup import (
    LAST_LOOK_MONTH,
    assumed_sealed_frames,
    build_up,
    nuc_ready_on,
    season_curve,
)
from .limits import Colonies, Needs, Spent, WeekStock, YardLimit, colonies_by, limits_by
from .parameters import DEFAULTS, PARAMETERS, SPRING_SHIFTS, BuildUp, Parameter, checked
from .picture import EndLabel, Picture, SaleWeek, draw
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
from .swarms import CHECK_EVERY_DAYS, Watched, next_check, watch
from .trajectory import NEVER, Removal, Swarm, Trajectory

__all__ = [
    "LAST_LOOK_MONTH",
    "ASSUMED",
    "Binding",
    "BuildUp",
    "CHECK_EVERY_DAYS",
    "Colonies",
    "ColonyStart",
    "DEFAULTS",
    "EndLabel",
    "Keep",
    "NEVER",
    "Needs",
    "PARAMETERS",
    "Parameter",
    "Picture",
    "Recipe",
    "Removal",
    "SPRING_SHIFTS",
    "SaleWeek",
    "Spent",
    "Swarm",
    "Trajectory",
    "Watched",
    "WeekStock",
    "YardLimit",
    "YardWeek",
    "alone",
    "assumed",
    "assumed_sealed_frames",
    "binding",
    "build_up",
    "checked",
    "colonies_by",
    "draw",
    "givable_brood",
    "is_of_this_spring",
    "limits_by",
    "make_up_weeks",
    "next_check",
    "nuc_ready_on",
    "pooled",
    "season_curve",
    "three_springs",
    "watch",
]
