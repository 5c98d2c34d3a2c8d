"""Tables of the yard, as they stand on screen."""

from .health import BroodCheckTable, NextYardTable, RequeenTable, TaskRuleTable, TreatmentTable, WashTable
from .places import CertificateTable, ColonyTable, StopTable, VisitTable, YardTable
from .rounds import ColonyChangeTable, MixTable, YardChangeTable
from .rules import FactorTable, GradeChangeTable, RuleTable, StandardTable
from .work import SEVERAL, HoldTable, TaskTable

__all__ = [
    "SEVERAL",
    "BroodCheckTable",
    "CertificateTable",
    "ColonyChangeTable",
    "ColonyTable",
    "FactorTable",
    "GradeChangeTable",
    "HoldTable",
    "MixTable",
    "NextYardTable",
    "RequeenTable",
    "RuleTable",
    "StandardTable",
    "StopTable",
    "TaskRuleTable",
    "TaskTable",
    "TreatmentTable",
    "VisitTable",
    "WashTable",
    "YardChangeTable",
    "YardTable",
]
