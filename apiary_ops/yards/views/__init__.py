"""Doors of the yard: each parses, makes one call, answers."""

from .bulk import many_colonies
from .colonies import add_colony, colony_page, edit_colony, move_colony, set_purpose, swap_colonies
from .frames import move_frames, strike_frame_move
from .grid import grid
from .holds import hold_list, lift_hold, place_hold
from .land import add_no_go, check_fence, correct_certificate, record_certificate, remove_no_go
from .lineage import end_colony, split_colony, unite_colony
from .looks import look, stop_work
from .rules import change_rules, rules_page
from .tallies import tally
from .tasks import add_task, finish_task, reopen_task, task_list
from .visits import edit_visit, leave_visit, start_visit, visit_list, visit_page
from .yards import add_yard, edit_yard, yard_list, yard_page

__all__ = [
    "add_colony",
    "add_no_go",
    "add_task",
    "add_yard",
    "change_rules",
    "check_fence",
    "colony_page",
    "correct_certificate",
    "edit_colony",
    "edit_visit",
    "edit_yard",
    "end_colony",
    "finish_task",
    "grid",
    "hold_list",
    "leave_visit",
    "lift_hold",
    "look",
    "many_colonies",
    "move_colony",
    "move_frames",
    "place_hold",
    "record_certificate",
    "remove_no_go",
    "reopen_task",
    "rules_page",
    "set_purpose",
    "split_colony",
    "start_visit",
    "stop_work",
    "strike_frame_move",
    "swap_colonies",
    "tally",
    "task_list",
    "unite_colony",
    "visit_list",
    "visit_page",
    "yard_list",
    "yard_page",
]
