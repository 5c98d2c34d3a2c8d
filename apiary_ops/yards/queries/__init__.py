"""Reads of the yard: colonies with their grades, yards at a glance, visits, looks, tasks and holds."""

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
from .looks import LookRow, WalkStop, look_at, looks_of_colony, looks_of_visit, walk
from .places import YardRow, colonies, colony_by_tag, yard_by_code, yard_overview, yards
from .work import hold, holds, holds_open, open_holds_of, tasks, visit, visits_of_season

__all__ = [
    "GradeChange",
    "GradedColony",
    "LookRow",
    "WalkStop",
    "YardRow",
    "colonies",
    "colony_by_tag",
    "factor_table",
    "grade_changes",
    "graded_colonies",
    "graded_colony",
    "hold",
    "holds",
    "holds_open",
    "look_at",
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
