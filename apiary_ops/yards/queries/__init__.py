"""Reads of the yard: colonies with their grades, yards at a glance, visits, looks, tasks and holds."""

from .colonies import frame_moves, frame_moves_of
from .grading import (
    GradeChange,
    GradedColony,
    factor_table,
    grade_changes,
    graded_colonies,
    graded_colony,
    rule_sets,
    rules_in_force,
)
from .looks import LookRow, WalkStop, look_at, look_before, looks_of_colony, looks_of_visit, walk
from .places import (
    ColonySums,
    YardRow,
    colonies,
    colony_by_tag,
    colony_sums,
    grades_in_force,
    overview_sums,
    yard_by_code,
    yard_overview,
    yards,
)
from .work import hold, holds, holds_open, open_holds_of, tasks, visit, visits_of_season

__all__ = [
    "GradeChange",
    "GradedColony",
    "LookRow",
    "WalkStop",
    "YardRow",
    "colonies",
    "colony_by_tag",
    "colony_sums",
    "overview_sums",
    "ColonySums",
    "factor_table",
    "frame_moves",
    "frame_moves_of",
    "grade_changes",
    "graded_colonies",
    "graded_colony",
    "hold",
    "holds",
    "grades_in_force",
    "holds_open",
    "look_at",
    "look_before",
    "looks_of_colony",
    "looks_of_visit",
    "open_holds_of",
    "rule_sets",
    "rules_in_force",
    "tasks",
    "visit",
    "visits_of_season",
    "walk",
    "yard_by_code",
    "yard_overview",
    "yards",
]
