"""Facts that arrive from phones: each lands once, agrees with what stands, or becomes a question to a person."""

from .colonies import land_frames, land_loss, land_task_done
from .found import NotKnown
from .looks import land_look, land_tally
from .visits import UnknownYard, land_leave, land_visit

__all__ = [
    "NotKnown",
    "UnknownYard",
    "land_frames",
    "land_leave",
    "land_look",
    "land_loss",
    "land_tally",
    "land_task_done",
    "land_visit",
]
