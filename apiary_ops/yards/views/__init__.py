"""Doors of the yard: each parses, makes one call, answers."""

from .bulk import many_colonies
from .colonies import add_colony, colony_page, edit_colony, move_colony, set_purpose, swap_colonies
from .frames import move_frames, strike_frame_move
from .grid import grid
from .health import (
    correct_brood_check,
    correct_wash,
    end_treatment,
    give_treatment,
    health_page,
    record_brood_check,
    record_wash,
    requeen_list,
)
from .holds import hold_list, lift_hold, place_hold
from .land import add_no_go, certificate_list, check_fence, correct_certificate, record_certificate, remove_no_go
from .lineage import end_colony, split_colony, unite_colony
from .looks import look, stop_work
from .next_yard import next_yard
from .papers import yard_sheet
from .rounds import change
from .rules import change_rules, rules_page
from .tallies import tally
from .tasks import add_task, edit_task_rule, finish_task, finish_tasks, reopen_task, task_list, task_rules
from .visits import edit_visit, leave_visit, start_visit, visit_list, visit_page
from .yards import add_yard, edit_yard, yard_list, yard_page

__all__ = [
    "add_colony",
    "add_no_go",
    "add_task",
    "add_yard",
    "certificate_list",
    "change",
    "change_rules",
    "check_fence",
    "colony_page",
    "correct_brood_check",
    "correct_certificate",
    "correct_wash",
    "edit_colony",
    "edit_task_rule",
    "edit_visit",
    "edit_yard",
    "end_colony",
    "end_treatment",
    "finish_task",
    "finish_tasks",
    "give_treatment",
    "grid",
    "health_page",
    "hold_list",
    "leave_visit",
    "lift_hold",
    "look",
    "many_colonies",
    "move_colony",
    "move_frames",
    "next_yard",
    "place_hold",
    "record_brood_check",
    "record_certificate",
    "record_wash",
    "remove_no_go",
    "reopen_task",
    "requeen_list",
    "rules_page",
    "set_purpose",
    "split_colony",
    "start_visit",
    "stop_work",
    "strike_frame_move",
    "swap_colonies",
    "tally",
    "task_list",
    "task_rules",
    "unite_colony",
    "visit_list",
    "visit_page",
    "yard_list",
    "yard_page",
    "yard_sheet",
]
