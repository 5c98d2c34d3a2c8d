"""The rules of the yard, pure: strength on one footing, grades by dated rules, and which yard needs a look."""

from .attention import YardState, yard_states
from .certificates import Validity, validity
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
from .coordinates import Axis, NotCoordinate, geo_uri, plain_degrees, read_coordinate
from .fence import (
    CHECK_AGAIN_DAYS,
    LEAST_VOLTS,
    MOST_VOLTS,
    Fault,
    FenceWalk,
    fence_faults,
    wire_heights_cm,
    wire_heights_inches,
)
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
    "CHECK_AGAIN_DAYS",
    "DONE",
    "FEWEST_IN_A_SAMPLE",
    "LEAST_VOLTS",
    "LOOK_STANDS_DAYS",
    "LOWER_BOX",
    "MITE_SOURCE",
    "MOST_VOLTS",
    "NOT_COUNTED",
    "NOT_NEEDED",
    "OPEN",
    "PATTY",
    "POOR_QUEENS",
    "REQUEEN",
    "TALLY_ERROR",
    "TOP_BAND",
    "VIEW_ERROR",
    "Axis",
    "Estimate",
    "Factor",
    "Fault",
    "FenceWalk",
    "Grading",
    "HowLine",
    "Label",
    "MiteLoad",
    "NotCoordinate",
    "Reading",
    "Rule",
    "Seen",
    "Standing",
    "Strength",
    "Validity",
    "Work",
    "WorkRule",
    "YardState",
    "cold_brood_warning",
    "colour_of_year",
    "done_on_look",
    "factors_on",
    "fence_faults",
    "frames_were_out",
    "from_sample",
    "from_tally",
    "geo_uri",
    "grade_bands",
    "grade_colony",
    "halves_held",
    "is_within",
    "minutes_between",
    "mite_load",
    "never_reached",
    "plain_degrees",
    "read_coordinate",
    "rule_set_on",
    "standard_strength",
    "validity",
    "wire_heights_cm",
    "wire_heights_inches",
    "work_from_looks",
    "yard_states",
]
