"""Forms of the yard: text and taps into days, half frames, degrees."""

from .bulk import BOX_ON, KEEP, LOST, MOVE, TASK, BulkAct
from .colonies import (
    COLONY_FIELDS,
    GAVE,
    QUEEN_FIELDS,
    AddColony,
    EditColony,
    EndColony,
    MoveColony,
    MoveFrames,
    SetPurpose,
    SplitColony,
    StrikeFrameMove,
    SwapColonies,
    UniteColony,
)
from .grid import Grid, GridRow
from .health import CorrectBroodCheck, CorrectWash, EndTreatment, GiveTreatment, RecordBroodCheck, RecordWash
from .land import AddNoGo, CertificateFacts, CheckFence, RecordCertificate
from .looks import LOOK_FIELDS, CorrectLook, RecordLook, same_as_last
from .places import YARD_FIELDS, AddYard, EditYard
from .rounds import ChooseRounds
from .rules import NewRules, RuleRowSet
from .tallies import CorrectTally, RecordTally
from .visits import USED, VISIT_FIELDS, EditVisit, LeaveVisit, StartVisit, amounts_of
from .work import AddTask, EditTaskRule, LiftHold, PlaceHold, TasksToFinish

__all__ = [
    "BOX_ON",
    "COLONY_FIELDS",
    "GAVE",
    "KEEP",
    "LOOK_FIELDS",
    "LOST",
    "MOVE",
    "QUEEN_FIELDS",
    "TASK",
    "USED",
    "VISIT_FIELDS",
    "YARD_FIELDS",
    "AddColony",
    "AddNoGo",
    "AddTask",
    "AddYard",
    "BulkAct",
    "CertificateFacts",
    "CheckFence",
    "ChooseRounds",
    "CorrectBroodCheck",
    "CorrectLook",
    "CorrectTally",
    "CorrectWash",
    "EditColony",
    "EditTaskRule",
    "EditVisit",
    "EditYard",
    "EndColony",
    "EndTreatment",
    "GiveTreatment",
    "Grid",
    "GridRow",
    "LeaveVisit",
    "LiftHold",
    "MoveColony",
    "MoveFrames",
    "NewRules",
    "PlaceHold",
    "RecordBroodCheck",
    "RecordCertificate",
    "RecordLook",
    "RecordTally",
    "RecordWash",
    "RuleRowSet",
    "SetPurpose",
    "SplitColony",
    "StartVisit",
    "StrikeFrameMove",
    "SwapColonies",
    "TasksToFinish",
    "UniteColony",
    "amounts_of",
    "same_as_last",
]
