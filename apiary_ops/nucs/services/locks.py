"""The one order in which rows of this app are locked: stamps, batch, nucs by pk."""

from collections.abc import Iterable

from django.utils.translation import gettext as _

from apiary_ops.business import stamps
from apiary_ops.kernel.refusals import RuleBroken
from apiary_ops.nucs.models import Batch, Nuc


class NoSuchNuc(RuleBroken):
    pass


class NucHasLeft(RuleBroken):
    pass


def lock_nucs(nuc_ids: Iterable[int], *areas: str) -> list[Nuc]:
    """The nucs, by pk, locked after the stamps of their seasons ("nucs" and `areas`). Raises NoSuchNuc."""
    wanted = sorted(set(nuc_ids))
    seasons = Nuc.objects.filter(pk__in=wanted).order_by("season_id").values_list("season_id", flat=True).distinct()
    for season_id in seasons:
        stamps.lock(season_id, ("nucs", *areas))
    rows = Nuc.objects.select_for_update(no_key=True, of=("self",)).select_related("kind", "batch", "season", "yard")
    nucs = list(rows.filter(pk__in=wanted).order_by("pk"))
    if len(nucs) < len(wanted):
        raise NoSuchNuc(_("One of these nucs is not there. Open the list again and choose anew."))
    return nucs


def lock_nuc(nuc_id: int, *areas: str) -> Nuc:
    """One live nuc, locked. Raises NoSuchNuc, or NucHasLeft when it was handed over, lost, united or kept."""
    nuc = lock_nucs([nuc_id], *areas)[0]
    refuse_left(nuc)
    return nuc


def refuse_left(nuc: Nuc) -> None:
    """Raises NucHasLeft unless the nuc still stands in a yard."""
    if not nuc.is_live:
        message = _("Nuc %(number)s has left: it is %(state)s. Nothing more can be done with it.")
        raise NucHasLeft(message % {"number": nuc.number, "state": nuc.get_state_display()})


def lock_batch(batch_id: int, *areas: str) -> Batch:
    """The batch, locked after the stamps of its season ("nucs" and `areas`)."""
    stamps.lock(Batch.objects.values_list("season_id", flat=True).get(pk=batch_id), ("nucs", *areas))
    rows = Batch.objects.select_for_update(no_key=True, of=("self",)).select_related("kind", "season", "lot")
    return rows.get(pk=batch_id)
