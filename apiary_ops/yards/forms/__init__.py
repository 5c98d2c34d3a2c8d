"""Forms of the yard: text and taps into days, half frames, degrees."""

from .land import AddNoGo, CertificateFacts, CheckFence, RecordCertificate
from .looks import LOOK_FIELDS, CorrectLook, RecordLook, same_as_last
from .places import YARD_FIELDS, AddColony, AddYard, EditColony, EditYard, EndColony, MoveColony, SetPurpose
from .rules import NewRules, RuleRowSet
from .visits import VISIT_FIELDS, EditVisit, StartVisit
from .work import AddTask, LiftHold, PlaceHold

__all__ = [
    "LOOK_FIELDS",
    "VISIT_FIELDS",
    "YARD_FIELDS",
    "AddColony",
    "AddNoGo",
    "AddTask",
    "AddYard",
    "CertificateFacts",
    "CheckFence",
    "CorrectLook",
    "EditColony",
    "EditVisit",
    "EditYard",
    "EndColony",
    "LiftHold",
    "MoveColony",
    "NewRules",
    "PlaceHold",
    "RecordCertificate",
    "RecordLook",
    "RuleRowSet",
    "SetPurpose",
    "StartVisit",
    "same_as_last",
]
