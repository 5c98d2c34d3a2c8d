"""What ties colonies to each other: frames given and taken, splits, and what was united."""

from collections.abc import Collection
from dataclasses import dataclass
from datetime import date

from django.db.models import Q, QuerySet

from apiary_ops.yards.models import Colony, FrameMove


@dataclass(frozen=True, slots=True)
class Lineage:
    """Where a colony comes from and went to: what it was split from and joined, its splits, those that joined it."""

    parent: Colony | None
    joined: Colony | None
    splits: tuple[Colony, ...]
    joined_by: tuple[Colony, ...]

    @property
    def says_something(self) -> bool:
        return bool(self.parent or self.joined or self.splits or self.joined_by)


def alive_on(day: date) -> Q:
    """What is true of a colony that was in the books and had not ended on a day."""
    return Q(started_on__lte=day) & (Q(ended_on__isnull=True) | Q(ended_on__gt=day))


def standing_in(yard_id: int) -> QuerySet[Colony]:
    """Live colonies of a yard in walking order."""
    rows = Colony.objects.filter(yard_id=yard_id, state=Colony.State.LIVE).select_related("yard")
    return rows.order_by("position", "id")


def lineage_of(colony: Colony) -> Lineage:
    """The relations of one colony, both ways, each in the order in which they started."""
    related = Q(split_from=colony) | Q(united_into=colony) | Q(pk__in=[colony.split_from_id, colony.united_into_id])
    rows = list(Colony.objects.filter(related).select_related("yard").order_by("started_on", "tag"))
    return Lineage(
        parent=next((row for row in rows if row.pk == colony.split_from_id), None),
        joined=next((row for row in rows if row.pk == colony.united_into_id), None),
        splits=tuple(row for row in rows if row.split_from_id == colony.pk),
        joined_by=tuple(row for row in rows if row.united_into_id == colony.pk),
    )


def frame_moves() -> QuerySet[FrameMove]:
    """Every move of frames with both colonies and who moved them, latest first."""
    rows = FrameMove.objects.select_related("from_colony__yard", "to_colony__yard", "moved_by")
    return rows.order_by("-on", "-id")


def frame_moves_of(colony_ids: Collection[int], since: date | None = None) -> QuerySet[FrameMove]:
    """Moves that any of these colonies gave or took, from that day on, latest first; those struck are left out."""
    theirs = Q(from_colony_id__in=colony_ids) | Q(to_colony_id__in=colony_ids)
    rows = frame_moves().filter(theirs, struck_on__isnull=True)
    return rows if since is None else rows.filter(on__gte=since)


def frame_moves_with(colony: Colony) -> QuerySet[FrameMove]:
    """Every move one colony gave or took, latest first, those struck with their reason among them."""
    return frame_moves().filter(Q(from_colony=colony) | Q(to_colony=colony))


def frame_move(pk: int) -> QuerySet[FrameMove]:
    """One move with both colonies, or nothing."""
    return frame_moves().filter(pk=pk)


def kept_for_nucs(day: date) -> Q:
    """Colonies that count for nucs that day: kept for them, or for something else on other days only."""
    return Q(purpose=Colony.Purpose.NUCS) | Q(purpose_from__gt=day) | Q(purpose_until__lt=day)
