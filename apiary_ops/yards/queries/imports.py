"""What a file of colonies or looks is held against, and the same records as rows to save."""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from datetime import date
from typing import Any

from apiary_ops.business.queries import seasons
from apiary_ops.people.queries import users
from apiary_ops.sheets.compute import Fault, Row
from apiary_ops.yards import compute
from apiary_ops.yards.models import Colony, Look, Yard

AT_A_TIME = 500  # names in one question; SQLite takes some thousand
COLONY_FACTS = (
    "tag",
    "position",
    "boxes",
    "purpose",
    "purpose_from",
    "purpose_until",
    "started_on",
    "queen_year",
    "queen_origin",
    "queen_mark",
    "queen_lot",
    "state",
    "ended_on",
    "loss_cause",
)
LOOK_FACTS = (
    "below_halves",
    "above_halves",
    "flying",
    "lower_box",
    "sealed_halves",
    "queen",
    "patty",
    "cells",
    "heft",
    "suspect_disease",
    "strips_pulled",
    "lower_box_off",
    "patty_given",
    "broken_frame",
    "note",
)


def colonies_from_rows(rows: Sequence[Row]) -> tuple[list[compute.PlacedColony], list[Fault]]:
    """Where the colonies of a file would stand, and what refuses them."""
    tags = _tags(rows)
    used = {tag for some in chunks(tags) for tag in Colony.objects.filter(tag__in=some).values_list("tag", flat=True)}
    return compute.place_colonies(rows, _places(), used)


def looks_from_rows(rows: Sequence[Row]) -> tuple[list[compute.PlacedLook], list[Fault]]:
    """Of which colonies the looks of a file would be, and what refuses them."""
    spans = [(season.pk, season.starts_on, season.ends_before) for season in seasons()]
    return compute.place_looks(rows, _known(_tags(rows)), _places(), spans, _people())


def colony_records(temperature_unit: str) -> Iterator[dict[str, Any]]:
    """Every colony as a row that could be imported, by yard in walking order."""
    rows = Colony.objects.select_related("yard").order_by("yard__code", "position", "id")
    for colony in rows.iterator(chunk_size=1000):
        yield {"yard": colony.yard.code} | {name: getattr(colony, name) for name in COLONY_FACTS}


def look_records(temperature_unit: str) -> Iterator[dict[str, Any]]:
    """Every look as a row that could be imported, by day, yard and walking order."""
    rows = Look.objects.select_related("visit", "colony__yard", "observed_by")
    for look in rows.order_by("visit__on", "visit__yard__code", "colony__position", "id").iterator(chunk_size=1000):
        degrees = look.visit.temperature_c
        yield {
            "on": look.visit.on,
            "tag": look.colony.tag,
            "yard": look.colony.yard.code,
            "degrees_c" if temperature_unit == "C" else "degrees_f": degrees,
            "observed_by": look.observed_by.username if look.observed_by else None,
        } | {name: getattr(look, name) for name in LOOK_FACTS}


def _tags(rows: Sequence[Row]) -> set[str]:
    return {row.values["tag"] for row in rows if row.values["tag"]}


def _places() -> dict[str, list[compute.Place]]:
    """Yards by code and by name."""
    taken: dict[int, dict[int, str]] = defaultdict(dict)
    live = Colony.objects.filter(state=Colony.State.LIVE).values_list("yard_id", "position", "tag")
    for yard_id, position, tag in live:
        taken[yard_id][position] = tag
    places: dict[str, list[compute.Place]] = defaultdict(list)
    for yard in Yard.objects.order_by("pk"):
        place = compute.Place(yard.pk, yard.code, yard.is_active, taken[yard.pk])
        for key in {yard.code.casefold(), yard.name.casefold()}:
            places[key].append(place)
    return places


def _known(tags: Iterable[str]) -> dict[str, compute.Known]:
    known: dict[str, compute.Known] = {}
    for some in chunks(tags):
        looked: dict[int, set[date]] = defaultdict(set)
        for colony_id, day in Look.objects.filter(colony__tag__in=some).values_list("colony_id", "visit__on"):
            looked[colony_id].add(day)
        for colony in Colony.objects.filter(tag__in=some).select_related("yard"):
            known[colony.tag] = compute.Known(
                colony.pk,
                colony.yard_id,
                colony.yard.name,
                colony.started_on,
                colony.ended_on,
                looked[colony.pk],
            )
    return known


def _people() -> dict[str, int]:
    """Everyone by user name, and by name where only one has it."""
    by_name: dict[str, list[int]] = defaultdict(list)
    by_user_name: dict[str, int] = {}
    for user in users():
        by_name[user.full_name.casefold()].append(user.pk)
        by_user_name[user.username.casefold()] = user.pk
    return {name: pks[0] for name, pks in by_name.items() if len(pks) == 1 and name} | by_user_name


def chunks(names: Iterable[str]) -> Iterator[list[str]]:
    """Names in order, so many at a time as one question may hold."""
    ordered = sorted(names)
    for start in range(0, len(ordered), AT_A_TIME):
        yield ordered[start : start + AT_A_TIME]
