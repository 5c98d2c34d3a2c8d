"""Stamps say what changed: a stored result keeps the counters it came from and knows when it is stale."""

from collections.abc import Iterable

from django.db import transaction
from django.db.models import F

from .models import Stamp

# Areas in lock order. Writers bump theirs at the end of the transaction; deciders lock before they read.
AREAS = ("yards", "queens", "nucs", "orders", "capacity", "promise", "allocation", "pickups")


def bump(season_id: int, area: str) -> None:
    """Say that facts of `area` changed in this season (call it last in the writing transaction)."""
    if area not in AREAS:
        raise ValueError(f"Unknown stamp area {area!r}; use one of {', '.join(AREAS)}.")
    if not Stamp.objects.filter(season_id=season_id, area=area).update(counter=F("counter") + 1):
        Stamp.objects.get_or_create(season_id=season_id, area=area)
        Stamp.objects.filter(season_id=season_id, area=area).update(counter=F("counter") + 1)


def lock(season_id: int, areas: Iterable[str]) -> dict[str, int]:
    """Lock the stamps of `areas` and return their counters; must run inside a transaction."""
    if not transaction.get_connection().in_atomic_block:
        raise RuntimeError("Stamps are locked inside a transaction.")
    wanted = set(areas)
    for area in sorted(wanted):
        Stamp.objects.get_or_create(season_id=season_id, area=area)
    rows = Stamp.objects.select_for_update(no_key=True).filter(season_id=season_id, area__in=wanted).order_by("area")
    return {row.area: row.counter for row in rows}


def read(season_id: int, areas: Iterable[str]) -> dict[str, int]:
    """The counters without a lock; an area nothing was written in counts 0."""
    found = dict(Stamp.objects.filter(season_id=season_id, area__in=areas).values_list("area", "counter"))
    return {area: found.get(area, 0) for area in sorted(areas)}
