"""The rules of the yard, pure: strength on one footing, grades by dated rules, and which yard needs a look."""

from .attention import YardState, yard_states
from .colonies import colour_of_year, is_within
from .estimates import (
    FEWEST_IN_A_SAMPLE,
    LOOK_STANDS_DAYS,
    TALLY_ERROR,
    TOP_BAND,
    Estimate,
    from_sample,
    from_tally,
    grade_bands,
)
from .grades import NOT_COUNTED, Grading, Rule, Standing, grade_colony, never_reached, rule_set_on
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
    "FEWEST_IN_A_SAMPLE",
    "LOOK_STANDS_DAYS",
    "LOWER_BOX",
    "MITE_SOURCE",
    "NOT_COUNTED",
    "NOT_NEEDED",
    "OPEN",
    "PATTY",
    "POOR_QUEENS",
    "REQUEEN",
    "TALLY_ERROR",
    "TOP_BAND",
    "VIEW_ERROR",
    "Estimate",
    "Factor",
    "Grading",
    "HowLine",
    "Label",
    "MiteLoad",
    "Reading",
    "Rule",
    "Seen",
    "Standing",
    "Strength",
    "Work",
    "WorkRule",
    "YardState",
    "cold_brood_warning",
    "colour_of_year",
    "done_on_look",
    "factors_on",
    "frames_were_out",
    "from_sample",
    "from_tally",
    "grade_bands",
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
