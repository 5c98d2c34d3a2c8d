"""Readiness of stored nucs: their checks as facts, their kind as a standard."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from django.utils.formats import date_format
from django.utils.translation import gettext as _

from apiary_ops.nucs import compute
from apiary_ops.nucs.compute import Readiness, Seen, Standard
from apiary_ops.nucs.models import Check, Nuc, NucKind


def standard_of(kind: NucKind) -> Standard:
    """The sale standard of a kind."""
    return Standard(kind.sale_covered, kind.sale_brood, kind.sale_food, kind.keeps_days)


def readiness(nuc: Nuc, on: date) -> Readiness:
    """Whether a nuc meets its standard on a day, item by item, with what is missing in words. Holds apart."""
    return readiness_of([nuc], on)[nuc.pk]


def readiness_of(nucs: Iterable[Nuc], on: date) -> dict[int, Readiness]:
    """The readiness of many nucs, by pk, in one query; the nucs come with their kind and batch."""
    rows = list(nucs)
    checks = checks_by_nuc(nuc.pk for nuc in rows)
    return {nuc.pk: _judged(nuc, checks.get(nuc.pk, ()), on) for nuc in rows}


def checks_by_nuc(nuc_ids: Iterable[int]) -> dict[int, list[Check]]:
    """The checks of many nucs by pk, oldest first."""
    found: dict[int, list[Check]] = {}
    for check in Check.objects.filter(nuc_id__in=list(nuc_ids)).order_by("on", "id"):
        found.setdefault(check.nuc_id, []).append(check)
    return found


def of_present_queen(nuc: Nuc, checks: Iterable[Check]) -> list[Check]:
    """The checks since a nuc was requeened; all of them where it never was."""
    since = _requeened_on(nuc)
    return [check for check in checks if since is None or check.on >= since]


def ready_day(nuc: Nuc, checks: Sequence[Check]) -> date | None:
    """The day a laying nuc is ready from, as last seen; a day to come while foreign brood is in it."""
    if nuc.state != Nuc.State.LAYING or not checks:
        return None
    return _judged(nuc, checks, checks[-1].on).ready_on


def _judged(nuc: Nuc, checks: Sequence[Check], on: date) -> Readiness:
    return compute.readiness(
        standard_of(nuc.kind),
        [_seen(check) for check in of_present_queen(nuc, checks)],
        on,
        last_foreign_egg_on=_requeened_on(nuc) or nuc.batch.made_on,
    )


def _requeened_on(nuc: Nuc) -> date | None:
    """The day a later queen than its batch's first went in, after another may have laid in it."""
    first, present = nuc.batch.queen_in_on, nuc.queened_on
    return present if first is not None and present is not None and present > first else None


def _seen(check: Check) -> Seen:
    return Seen(
        on=check.on,
        queen=check.queen,
        covered_halves=check.covered_halves,
        brood_halves=check.brood_halves,
        food_halves=check.food_halves,
        own_sealed_brood=check.own_sealed_brood,
        queen_cells=check.queen_cells,
        disease_clear=check.disease_clear,
    )


@dataclass(frozen=True, slots=True)
class Standing:
    """How a nuc stands towards a buyer today: a word, its tone, and until when it keeps."""

    word: str
    tone: str
    collect_by: date | None


def standing(nuc: Nuc, today: date, held_yards: Mapping[int, str]) -> Standing:
    """The standing of a nuc by its cached day, without its checks; the nuc comes with its kind."""
    if not nuc.is_live:
        return Standing("", "quiet", None)
    collect_by = nuc.ready_on + timedelta(days=nuc.kind.keeps_days) if nuc.ready_on else None
    if nuc.hold_reason or nuc.yard_id in held_yards:
        return Standing(_("on hold"), "broken", collect_by)
    if nuc.ready_on is None or collect_by is None:
        return Standing(_("not yet"), "quiet", None)
    if nuc.ready_on > today:
        return Standing(_("from %(day)s") % {"day": date_format(nuc.ready_on, "D j M")}, "quiet", collect_by)
    if collect_by < today:
        return Standing(_("kept too long"), "mind", collect_by)
    return Standing(_("ready"), "good", collect_by)
