"""Reads: what a plan is made from, what plans say, who is pinned and which nuc is bound to whom."""

from .bindings import bindings_of, dead_bindings, live_bindings
from .inputs import AREAS, Inputs, demand_of, kind_names, plan_inputs, takers
from .pins import lines_to_pin, pinnable_lines, pins
from .plans import (
    AREA_WORDS,
    PlanRow,
    change_rows,
    moved_areas,
    narrowed,
    newest_plan,
    plan_rows,
    plan_summary,
    plans,
    refused_pins,
    standing_places,
    standing_plan,
    week_totals,
)

__all__ = [
    "AREAS",
    "AREA_WORDS",
    "Inputs",
    "PlanRow",
    "bindings_of",
    "change_rows",
    "dead_bindings",
    "demand_of",
    "kind_names",
    "lines_to_pin",
    "live_bindings",
    "moved_areas",
    "narrowed",
    "newest_plan",
    "pinnable_lines",
    "pins",
    "plan_inputs",
    "plan_rows",
    "plan_summary",
    "plans",
    "refused_pins",
    "standing_places",
    "standing_plan",
    "takers",
    "week_totals",
]
