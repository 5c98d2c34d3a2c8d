"""What each version of a payload says, as values of the trade. Raises Unreadable for anything else."""

from dataclasses import replace
from typing import Any

from apiary_ops.fieldbook.compute import Payload, Unreadable
from apiary_ops.yards import compute
from apiary_ops.yards.models import JOBS, MATERIALS, PATTIES, SKIES, Look, Visit

MOST_HALVES = 40
MOST_COUNTED = 2_000
MOST_KM = 2_000


def read_visit(payload: Payload) -> compute.FieldVisit:
    return compute.FieldVisit(
        yard=payload.named("yard", 20),
        on=payload.day("on"),
        arrived_at=payload.hour("arrived"),
        crew_ids=payload.numbers("crew"),
        temperature_c=payload.decimal("temperature_c", 1),
        sky=payload.word("sky", dict(SKIES)),
        view=payload.word("view", Visit.View.values) or Visit.View.BELOW,
        depth=payload.word("depth", Visit.Depth.values) or Visit.Depth.EACH,
        km=payload.whole("km", 0, MOST_KM),
    )


def read_visit_1(payload: Payload) -> compute.FieldVisit:
    """Version 1 noted the temperature in whole °C, as `temp`."""
    return replace(read_visit(payload), temperature_c=payload.decimal("temp", 0))


def read_look(payload: Payload) -> compute.FieldLook:
    halves = {name: payload.whole(name, 0, MOST_HALVES) for name in ("below_halves", "above_halves", "sealed_halves")}
    return _look(payload, halves)


def read_look_1(payload: Payload) -> compute.FieldLook:
    """Version 1 counted whole frames, from below, as `frames`."""
    frames = payload.whole("frames", 0, MOST_HALVES // 2)
    return _look(payload, {"below_halves": None if frames is None else frames * 2})


def _look(payload: Payload, halves: dict[str, int | None]) -> compute.FieldLook:
    facts: dict[str, Any] = halves | {
        "lower_box": payload.word("lower_box", Look.LowerBox.values),
        "patty": payload.word("patty", dict(PATTIES)),
        "queen": payload.word("queen", Look.Queen.values),
        "cells": payload.word("cells", Look.Cells.values),
        "heft": payload.word("heft", Look.Heft.values),
        "note": payload.text("note", 300),
    }
    taps = ("flying", "suspect_disease", "strips_pulled", "lower_box_off", "patty_given", "broken_frame")
    return compute.FieldLook(_tag(payload, "tag"), facts | {tap: payload.yes(tap) for tap in taps})


def read_tally(payload: Payload) -> compute.FieldTally:
    counts = {grade: count for grade, count in payload.counts("counts", MOST_COUNTED).items() if count}
    return compute.FieldTally(counts, payload.whole("dead", 0, MOST_COUNTED) or 0)


def read_loss(payload: Payload) -> compute.FieldLoss:
    return compute.FieldLoss(_tag(payload, "tag"), payload.named("cause", 120))


def read_task_done(payload: Payload) -> compute.FieldTaskDone:
    task = payload.whole("task", 1, 2**31 - 1)
    if task is None:
        raise Unreadable("“task” is missing.")
    return compute.FieldTaskDone(task)


def read_leave(payload: Payload) -> compute.FieldLeave:
    used = []
    for part in payload.parts("materials"):
        material, quantity = part.word("material", dict(MATERIALS)), part.decimal("quantity", 2)
        if material and quantity:
            used.append((material, quantity))
    return compute.FieldLeave(payload.hour("left"), payload.words("jobs", dict(JOBS)), tuple(sorted(used)))


def read_frames(payload: Payload) -> compute.FieldFrames:
    return compute.FieldFrames(
        from_tag=_tag(payload, "from"),
        to_tag=_tag(payload, "to"),
        brood=payload.whole("brood", 0, 10) or 0,
        food=payload.whole("food", 0, 10) or 0,
        with_bees=payload.yes("with_bees"),
    )


def _tag(payload: Payload, name: str) -> str:
    return payload.named(name, 20).upper()
