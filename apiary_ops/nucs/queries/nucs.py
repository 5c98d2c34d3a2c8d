from datetime import date, timedelta

from django.db.models import Count, Q, QuerySet

from apiary_ops.nucs.compute import Frames
from apiary_ops.nucs.models import Check, Nuc, NucKind

from .holds import held_yards


def kinds() -> QuerySet[NucKind]:
    """Every kind of nuc, by name."""
    return NucKind.objects.order_by("name", "id")


def kind(code: str) -> QuerySet[NucKind]:
    """One kind, for get_object_or_404."""
    return NucKind.objects.filter(code=code)


def recipe_of(kind: NucKind) -> Frames:
    """What one nuc of a kind takes from donors."""
    return Frames(kind.make_up_bees, kind.make_up_brood)


def nucs(season_id: int) -> QuerySet[Nuc]:
    """Every nuc of a season by number, whatever became of it."""
    rows = Nuc.objects.filter(season_id=season_id).select_related("kind", "yard", "batch")
    return rows.order_by("number")


def nucs_of_batch(batch_id: int) -> QuerySet[Nuc]:
    """The nucs of one batch by number."""
    rows = Nuc.objects.filter(batch_id=batch_id).select_related("kind", "yard", "batch")
    return rows.order_by("number")


def nuc_in_full(pk: int) -> QuerySet[Nuc]:
    """One nuc with its batch, lot, kind, yard and season, for get_object_or_404."""
    return Nuc.objects.filter(pk=pk).select_related(
        "kind", "yard", "season", "batch__split_day__yard", "batch__lot__order__supplier"
    )


def checks_of(nuc: Nuc) -> QuerySet[Check]:
    """The checks of a nuc, latest first."""
    return Check.objects.filter(nuc=nuc).select_related("recorded_by").order_by("-on", "-id")


def ready_nucs(
    season_id: int, kind_id: int | None = None, yard_id: int | None = None, on: date | None = None
) -> QuerySet[Nuc]:
    """Nucs that meet their sale standard and are not on hold, the first to be collected first.

    With a day: ready by that day, in a yard not on hold on it. Without: as last seen, whichever day that is ready.
    """
    rows = Nuc.objects.filter(season_id=season_id, state=Nuc.State.LAYING, ready_on__isnull=False, hold_reason="")
    if kind_id is not None:
        rows = rows.filter(kind_id=kind_id)
    if yard_id is not None:
        rows = rows.filter(yard_id=yard_id)
    if on is not None:
        rows = rows.filter(ready_on__lte=on).exclude(yard_id__in=held_yards(on))
    return rows.select_related("kind", "yard", "batch").order_by("ready_on", "number")


def kept_too_long(season_id: int, today: date) -> QuerySet[Nuc]:
    """Ready nucs in hand whose collect-by day has passed, held or not."""
    rows = Nuc.objects.filter(season_id=season_id, state=Nuc.State.LAYING, ready_on__isnull=False)
    late = Q(pk__in=[])
    for kind in kinds():
        late |= Q(kind=kind, ready_on__lt=today - timedelta(days=kind.keeps_days))
    return rows.filter(late).select_related("kind", "yard", "batch").order_by("ready_on", "number")


def state_counts(season_id: int) -> dict[str, int]:
    """How many nucs of a season are in each state; states nobody is in count 0."""
    rows = Nuc.objects.filter(season_id=season_id).values_list("state").annotate(count=Count("id")).order_by()
    return dict.fromkeys(Nuc.State.values, 0) | dict(rows)
