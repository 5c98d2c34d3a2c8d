from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from django.db.models import Count, Q, QuerySet, Sum

from apiary_ops.nucs.compute import Frames
from apiary_ops.nucs.models import Batch, Donation, Nuc, SplitDay
from apiary_ops.yards.models import Colony
from apiary_ops.yards.queries import graded_colonies, kept_for_nucs

from .holds import held_colonies
from .nucs import recipe_of


@dataclass(frozen=True, slots=True)
class DonationRow:
    """Frames that one colony gave on a day: what later forecasts take off it."""

    colony_id: int
    on: date
    bees_frames: Decimal
    brood_frames: Decimal


def split_days(season_id: int) -> QuerySet[SplitDay]:
    """The split days of a season by day, each with its yard and how many nucs were made (`nucs_made`)."""
    rows = SplitDay.objects.filter(season_id=season_id).select_related("yard")
    return rows.annotate(batch_count=Count("batches"), nucs_made=Sum("batches__made", default=0)).order_by("on", "id")


def split_day(pk: int) -> QuerySet[SplitDay]:
    """One split day with its yard and season, for get_object_or_404."""
    return SplitDay.objects.filter(pk=pk).select_related("yard", "season")


def batches(season_id: int) -> QuerySet[Batch]:
    """The batches of a season by day."""
    rows = Batch.objects.filter(season_id=season_id).select_related("kind", "stands_at", "lot", "split_day__yard")
    return rows.order_by("made_on", "id")


def batches_of(split_day_id: int) -> QuerySet[Batch]:
    """The batches of one split day, in the order they were made."""
    return Batch.objects.filter(split_day_id=split_day_id).select_related("kind", "stands_at", "lot").order_by("id")


def batches_with_queens_of(lot_id: int) -> QuerySet[Batch]:
    """Batches whose first queens came from a lot, each with its nucs still in hand (`in_hand`)."""
    rows = Batch.objects.filter(lot_id=lot_id, queen_in_on__isnull=False).select_related("kind", "stands_at")
    return rows.annotate(in_hand=Count("nucs", filter=Q(nucs__state__in=Nuc.LIVE_STATES))).order_by("id")


def batch_in_full(pk: int) -> QuerySet[Batch]:
    """One batch with its kind, lot, yard and split day, for get_object_or_404."""
    return Batch.objects.filter(pk=pk).select_related(
        "kind", "stands_at", "season", "split_day__yard", "lot__order__supplier"
    )


def donations_of(split_day_id: int) -> QuerySet[Donation]:
    """What each colony gave on a split day, in walking order."""
    rows = Donation.objects.filter(split_day_id=split_day_id).select_related("colony")
    return rows.order_by("colony__position", "id")


def given_by_colony(colony_id: int) -> QuerySet[Donation]:
    """What one colony gave, latest day first."""
    rows = Donation.objects.filter(colony_id=colony_id).select_related("split_day")
    return rows.order_by("-split_day__on", "-id")


def donations(season_id: int) -> list[DonationRow]:
    """Every donation of a season: forecasts take them off the parents."""
    rows = Donation.objects.filter(split_day__season_id=season_id).order_by("split_day__on", "id")
    return [DonationRow(*row) for row in rows.values_list("colony_id", "split_day__on", "bees_frames", "brood_frames")]


def given_on(split_day_id: int) -> Frames:
    """All frames given on a split day."""
    sums = Donation.objects.filter(split_day_id=split_day_id).aggregate(
        bees=Sum("bees_frames", default=Decimal(0)), brood=Sum("brood_frames", default=Decimal(0))
    )
    return Frames(sums["bees"], sums["brood"])


def frames_left(split_day_id: int) -> Frames:
    """Frames given on a split day that no batch of that day took; they made its nucs stronger, or wait for a batch."""
    left = given_on(split_day_id)
    for batch in Batch.objects.filter(split_day_id=split_day_id).select_related("kind"):
        left = left + recipe_of(batch.kind) * -batch.size
    return left


@dataclass(frozen=True, slots=True)
class Donor:
    """A colony of a split day's yard that may give frames, as it was last seen."""

    colony_id: int
    tag: str
    position: int
    strength_frames: Decimal | None
    sealed_frames: Decimal | None
    looked_on: date | None
    grade: str


def donors(day: SplitDay, today: date) -> list[Donor]:
    """Colonies that may still give on a split day, in walking order: alive, kept for nucs, not on hold."""
    may_give = Colony.objects.filter(kept_for_nucs(day.on), yard_id=day.yard_id, state=Colony.State.LIVE)
    gave = Donation.objects.filter(split_day=day).values("colony_id")
    allowed = set(may_give.exclude(pk__in=gave).values_list("pk", flat=True)) - held_colonies(day.on).keys()
    return [
        Donor(
            colony_id=colony.colony_id,
            tag=colony.tag,
            position=colony.position,
            strength_frames=colony.strength_frames,
            sealed_frames=colony.sealed_frames,
            looked_on=colony.looked_on,
            grade=colony.grade,
        )
        for colony in graded_colonies(day.season_id, today, yard_id=day.yard_id)
        if colony.colony_id in allowed
    ]
