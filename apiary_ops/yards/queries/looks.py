"""Looks: of one colony with the strength each gives, of one visit in walking order."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from django.db.models import Q, QuerySet

from apiary_ops.yards import compute
from apiary_ops.yards.models import Colony, FrameMove, Look, Visit

from .colonies import alive_on, frame_moves_of
from .grading import factor_table

# How far back moved frames are listed when disease is suspected: more than two generations of brood (our own).
MOVES_TO_MIND = timedelta(days=60)


@dataclass(frozen=True, slots=True)
class LookRow:
    """A look with the strength its counts give by the factors in force."""

    look: Look
    strength: compute.Strength | None


@dataclass(frozen=True, slots=True)
class WalkStop:
    """One colony on the walk through a yard, with its look of this visit if it was taken."""

    colony: Colony
    look: Look | None
    strength: compute.Strength | None


def looks_of_colony(colony: Colony, today: date) -> list[LookRow]:
    """Every look at a colony, latest first."""
    looks = (
        Look.objects.filter(colony=colony).select_related("visit", "visit__recorded_by").order_by("-visit__on", "-id")
    )
    factors = factor_table(today)
    return [LookRow(look, strength_of(look, look.visit, colony, factors)) for look in looks]


def looks_of_visit(visit_id: int) -> QuerySet[Look]:
    """Looks taken on a visit, in walking order."""
    rows = Look.objects.filter(visit_id=visit_id).select_related("colony")
    return rows.order_by("colony__position", "colony_id")


def look_at(visit: Visit, colony: Colony) -> Look:
    """The look at a colony on this visit. Raises DoesNotExist when none was taken."""
    return Look.objects.get(visit=visit, colony=colony)


def suspected_on(visit: Visit) -> QuerySet[Look]:
    """Looks of a visit that suspect disease, in walking order."""
    return looks_of_visit(visit.pk).filter(suspect_disease=True)


def moves_to_mind(visit: Visit, looks: Sequence[Look]) -> QuerySet[FrameMove]:
    """Frames that the colonies of these looks gave or took in the weeks before a visit, latest first."""
    return frame_moves_of([look.colony_id for look in looks], since=visit.on - MOVES_TO_MIND)


def look_before(visit: Visit, colony: Colony, today: date) -> LookRow | None:
    """The latest look at a colony before this visit."""
    earlier = Look.objects.filter(colony=colony, visit__on__lte=visit.on).exclude(visit=visit)
    look = earlier.select_related("visit").order_by("-visit__on", "-id").first()
    return LookRow(look, strength_of(look, look.visit, colony, factor_table(today))) if look else None


def standing_on(yard_id: int, day: date) -> QuerySet[Colony]:
    """Colonies that stood in a yard on a day, in walking order."""
    return Colony.objects.filter(_standing(yard_id, day)).order_by("position", "id")


def walk(visit: Visit, today: date) -> list[WalkStop]:
    """Colonies in walking order: those that stood in the yard that day, and any that were looked at."""
    looks = {look.colony_id: look for look in looks_of_visit(visit.pk)}
    rows = Colony.objects.filter(_standing(visit.yard_id, visit.on) | Q(pk__in=looks)).order_by("position", "id")
    factors = factor_table(today)
    return [
        WalkStop(colony, look, strength_of(look, visit, colony, factors))
        for colony in rows
        for look in [looks.get(colony.pk)]
    ]


def _standing(yard_id: int, day: date) -> Q:
    return Q(yard_id=yard_id) & alive_on(day)


def strength_of(
    look: Look | None, visit: Visit, colony: Colony, factors: Sequence[compute.Factor]
) -> compute.Strength | None:
    """The strength a look's counts give by these factors; None when nothing was counted."""
    if look is None:
        return None
    return compute.standard_strength(
        below_halves=look.below_halves,
        above_halves=look.above_halves,
        temperature_c=visit.temperature_c,
        flying=look.flying,
        factors=factors,
        boxes=colony.boxes,
    )
