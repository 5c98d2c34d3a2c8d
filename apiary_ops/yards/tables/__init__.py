"""Tables of the yard, as they stand on screen."""

from .places import ColonyTable, StopTable, VisitTable, YardTable
from .rules import FactorTable, GradeChangeTable, RuleTable
from .work import HoldTable, TaskTable

__all__ = [
    "ColonyTable",
    "FactorTable",
    "GradeChangeTable",
    "HoldTable",
    "RuleTable",
    "StopTable",
    "TaskTable",
    "VisitTable",
    "YardTable",
]
