"""The rules of the yard, pure: strength on one footing, grades by dated rules, and which yard needs a look."""

from .attention import YardState, yard_states
from .colonies import colour_of_year, is_within
from .grades import Grading, Rule, Standing, grade_colony, never_reached, rule_set_on
from .looks import cold_brood_warning, frames_were_out, halves_held, minutes_between
from .mites import SOURCE as MITE_SOURCE
from .mites import MiteLoad, mite_load
from .strength import VIEW_ERROR, Factor, HowLine, Reading, Strength, factors_on, standard_strength
from .tasks import (
    CELLS,
    DONE,
    LOWER_BOX,
    NOT_NEEDED,
    OPEN,
    PATTY,
    POOR_QUEENS,
    REQUEEN,
    Seen,
    Work,
    WorkRule,
    done_on_look,
    work_from_looks,
)
from .treatments import Label

__all__ = [
    "CELLS",
    "DONE",
    "Factor",
    "Grading",
    "HowLine",
    "LOWER_BOX",
    "Label",
    "MITE_SOURCE",
    "MiteLoad",
    "NOT_NEEDED",
    "OPEN",
    "PATTY",
    "POOR_QUEENS",
    "REQUEEN",
    "Reading",
    "Rule",
    "Seen",
    "Standing",
    "Strength",
    "VIEW_ERROR",
    "Work",
    "WorkRule",
    "YardState",
    "cold_brood_warning",
    "colour_of_year",
    "done_on_look",
    "factors_on",
    "frames_were_out",
    "grade_colony",
    "halves_held",
    "is_within",
    "minutes_between",
    "mite_load",
    "never_reached",
    "rule_set_on",
    "standard_strength",
    "work_from_looks",
    "yard_states",
]
