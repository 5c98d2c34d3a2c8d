"""Counts as they were taken, for a grower's own factors."""

from collections.abc import Collection
from datetime import date
from decimal import Decimal

from django.db.models import Q

from apiary_ops.yards import compute
from apiary_ops.yards.models import Look

from .colonies import frame_moves_of


def counts_of_season(season_id: int, today: date) -> list[compute.Count]:
    """Every look of a season that counted frames, in order of the days."""
    looks = Look.objects.filter(visit__season_id=season_id, visit__on__lte=today)
    looks = looks.filter(Q(below_halves__isnull=False) | Q(above_halves__isnull=False))
    rows = looks.order_by("visit__on", "id").values_list(
        "colony_id", "visit__on", "below_halves", "above_halves", "visit__temperature_c", "flying"
    )
    return [
        compute.Count(colony_id, on, _frames(below), _frames(above), temperature_c, flying)
        for colony_id, on, below, above, temperature_c, flying in rows
    ]


def frames_moved_on(colony_ids: Collection[int]) -> list[tuple[int, date]]:
    """Each colony and day on which it gave frames to another or took some."""
    moves = frame_moves_of(colony_ids).values_list("from_colony_id", "to_colony_id", "on")
    return [(colony, on) for giver, taker, on in moves for colony in (giver, taker)]


def _frames(halves: int | None) -> Decimal | None:
    return None if halves is None else Decimal(halves) / 2
