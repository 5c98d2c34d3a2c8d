"""What ties colonies to each other: frames given and taken, splits, and what was united."""

from collections.abc import Collection
from datetime import date

from django.db.models import Q, QuerySet

from apiary_ops.yards.models import Colony, FrameMove


def frame_moves() -> QuerySet[FrameMove]:
    """Every move of frames with both colonies and who moved them, latest first."""
    rows = FrameMove.objects.select_related("from_colony__yard", "to_colony__yard", "moved_by")
    return rows.order_by("-on", "-id")


def frame_moves_of(colony_ids: Collection[int], since: date | None = None) -> QuerySet[FrameMove]:
    """Moves that any of these colonies gave or took, from that day on, latest first; those struck are left out."""
    theirs = Q(from_colony_id__in=colony_ids) | Q(to_colony_id__in=colony_ids)
    rows = frame_moves().filter(theirs, struck_on__isnull=True)
    return rows if since is None else rows.filter(on__gte=since)


def kept_for_nucs(day: date) -> Q:
    """Colonies that count for nucs that day: kept for them, or for something else on other days only."""
    return Q(purpose=Colony.Purpose.NUCS) | Q(purpose_from__gt=day) | Q(purpose_until__lt=day)
