"""The cached day a nuc is ready from, kept with every check and every change of a standard."""

from collections.abc import Sequence

from simple_history.utils import bulk_update_with_history

from apiary_ops.nucs.models import Nuc
from apiary_ops.nucs.queries.ready import checks_by_nuc, ready_day
from apiary_ops.people.models import User


def refresh_ready_days(nucs: Sequence[Nuc], *, actor: User | None) -> list[Nuc]:
    """Work the days out anew for locked nucs and write those that changed; returns the nucs that did."""
    checks = checks_by_nuc(nuc.pk for nuc in nucs)
    changed = []
    for nuc in nucs:
        day = ready_day(nuc, checks.get(nuc.pk, []))
        if day != nuc.ready_on:
            nuc.ready_on = day
            changed.append(nuc)
    write(changed, ["ready_on"], actor)
    return changed


def write(nucs: Sequence[Nuc], fields: list[str], actor: User | None) -> None:
    """Save `fields` of many nucs, with their history."""
    if nucs:
        bulk_update_with_history(list(nucs), Nuc, fields, batch_size=500, default_user=actor)
