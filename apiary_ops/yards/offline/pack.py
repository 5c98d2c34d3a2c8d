"""What a phone takes along to a yard: everything the walk needs, and nothing of money or buyers."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from datetime import date
from typing import Any

from apiary_ops.business import queries as business
from apiary_ops.business.models import Season
from apiary_ops.people.models import User
from apiary_ops.yards import queries
from apiary_ops.yards.models import JOBS, MATERIALS, Colony, FrameMove, Task, Treatment, Yard
from apiary_ops.yards.queries import GradedColony, LookRow

Json = dict[str, Any]


def yards_to_pack(today: date, season: Season) -> list[Json]:
    """The yards in use, to choose from."""
    return [
        {
            "code": row.yard.code,
            "name": row.yard.name,
            "colonies": row.colonies,
            "on_hold": row.hold,
            "looked_on": row.looked_on.isoformat() if row.looked_on else None,
        }
        for row in queries.yard_overview(season.pk, today)
    ]


def pack(user: User, yard_code: str, today: date, season: Season) -> Json | None:
    """One yard with its colonies in walking order, and the words to tap there; None for a yard not in use."""
    yard = queries.yard_by_code(yard_code).filter(is_active=True).first()
    if yard is None:
        return None
    tasks = queries.open_tasks_of(yard.pk, season.pk)
    return {
        "yard": _yard(yard, today),
        "colonies": _colonies(yard, season, today, tasks),
        "tasks": [_task(task) for task in tasks if task.colony_id is None],
        "grades": queries.grades_in_force(today),
        "loss_causes": _pairs(queries.loss_causes()),
        "materials": _pairs(MATERIALS),
        "jobs": _pairs(JOBS),
    }


def _pairs(choices: Sequence[tuple[str, Any]]) -> list[list[str]]:
    return [[code, str(label)] for code, label in choices]


def _yard(yard: Yard, today: date) -> Json:
    us = business.business()
    hold = queries.open_holds_of(yard_id=yard.pk).first()
    return {
        "code": yard.code,
        "name": yard.name,
        "hazards": yard.hazards,
        "access_notes": yard.access_notes,
        "gate_code": yard.gate_code,
        "round_trip_km": yard.round_trip_km,
        "on_hold": hold.reason if hold else "",
        "inspector": us.inspector,
        "inspector_phone": us.inspector_phone,
        "no_go": [
            {"from": row.starts_on.isoformat(), "to": row.ends_on.isoformat(), "reason": row.reason}
            for row in queries.no_go_ahead(today).filter(yard=yard)
        ],
    }


def _colonies(yard: Yard, season: Season, today: date, tasks: Iterable[Task]) -> list[Json]:
    graded = queries.graded_colonies(season.pk, today, yard_id=yard.pk)
    keys = [colony.colony_id for colony in graded]
    standing = queries.standing_in(yard.pk).in_bulk()
    last = queries.last_looks(season.pk, keys, today)
    todo: dict[int | None, list[Json]] = defaultdict(list)
    for task in tasks:
        todo[task.colony_id].append(_task(task))
    given: dict[int | None, list[Json]] = defaultdict(list)
    for treatment in queries.treatments_in(yard.pk):
        given[treatment.colony_id].append(_treatment(treatment))
    moved: dict[int, list[Json]] = defaultdict(list)
    for move in queries.frame_moves_of(keys, today - queries.MOVES_TO_MIND):
        for colony_id in (move.from_colony_id, move.to_colony_id):
            moved[colony_id].append(_move(move))
    return [
        _colony(colony, standing[colony.colony_id], last.get(colony.colony_id))
        | {
            "tasks": todo[colony.colony_id],
            "treatments": [*given[None], *given[colony.colony_id]],
            "frame_moves": moved[colony.colony_id],
        }
        for colony in graded
        if colony.colony_id in standing
    ]


def _colony(graded: GradedColony, colony: Colony, last: LookRow | None) -> Json:
    return {
        "tag": graded.tag,
        "position": graded.position,
        "boxes": graded.boxes,
        "purpose": colony.purpose_words,
        "on_hold": graded.on_hold,
        "last": _last(last) if last else None,
        "grade": graded.grade_words,
    }


def _last(row: LookRow) -> Json:
    look, strength = row.look, row.strength
    return {
        "on": look.visit.on.isoformat(),
        "frames": str(strength.frames) if strength else None,
        "spread": str(strength.spread) if strength else None,
        "words": look.noted,
        "below_halves": look.below_halves,
        "above_halves": look.above_halves,
        "lower_box": look.lower_box,
        "patty": look.patty,
    }


def _task(task: Task) -> Json:
    return {"id": task.pk, "what": task.what, "rule": task.rule, "due_on": task.due_on.isoformat()}


def _treatment(row: Treatment) -> Json:
    return {"id": row.pk, "name": row.kind.name, "due_out_on": row.due_out_on.isoformat()}


def _move(move: FrameMove) -> Json:
    giver, taker = move.from_colony.tag, move.to_colony.tag
    return {"on": move.on.isoformat(), "from": giver, "to": taker, "words": move.words}
