"""The tables of the yards: places, colonies, visits, what was seen and done there, rules, work and holds."""

from .colonies import DISEASE_SUSPECTED, LOSS_CAUSES, MOST_BOXES, MOST_FRAMES_MOVED, TAG_FORM, Colony, FrameMove
from .health import BroodCheck, MiteWash, Treatment, TreatmentKind
from .looks import PATTIES, Look, Tally, TallyCount
from .places import Certificate, FenceCheck, NoGo, Yard
from .rules import Factor, GradeRule, TaskRule
from .visits import JOBS, KINDS_OF_WORK, MATERIALS, SKIES, JobDone, MaterialUse, Visit
from .work import Hold, Task

__all__ = [
    "DISEASE_SUSPECTED",
    "JOBS",
    "KINDS_OF_WORK",
    "LOSS_CAUSES",
    "MATERIALS",
    "MOST_BOXES",
    "MOST_FRAMES_MOVED",
    "PATTIES",
    "SKIES",
    "TAG_FORM",
    "BroodCheck",
    "Certificate",
    "Colony",
    "Factor",
    "FenceCheck",
    "FrameMove",
    "GradeRule",
    "Hold",
    "JobDone",
    "Look",
    "MaterialUse",
    "MiteWash",
    "NoGo",
    "Tally",
    "TallyCount",
    "Task",
    "TaskRule",
    "Treatment",
    "TreatmentKind",
    "Visit",
    "Yard",
]
