"""The rules of the yard, pure: strength on one footing, grades by dated rules, and which yard needs a look."""

from .attention import YardState, yard_states
from .grades import Grading, Rule, Standing, grade_colony, never_reached, rule_set_on
from .looks import cold_brood_warning, frames_were_out, halves_held, minutes_between
from .strength import VIEW_ERROR, Factor, HowLine, Reading, Strength, factors_on, standard_strength

__all__ = [
    "VIEW_ERROR",
    "Factor",
    "Grading",
    "HowLine",
    "Reading",
    "Rule",
    "Standing",
    "Strength",
    "YardState",
    "cold_brood_warning",
    "factors_on",
    "frames_were_out",
    "grade_colony",
    "halves_held",
    "minutes_between",
    "never_reached",
    "rule_set_on",
    "standard_strength",
    "yard_states",
]
