"""Visits: who went where, when, in what weather, what was done there and used up."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, time
from decimal import Decimal
from typing import Any, TypedDict, Unpack
from uuid import UUID

from django.db import transaction
from django.utils.translation import gettext as _

from apiary_ops.core import once
from apiary_ops.core.history import sign
from apiary_ops.core.versions import save_changes
from apiary_ops.kernel.refusals import RuleBroken
from apiary_ops.people.models import User
from apiary_ops.yards.compute import minutes_between
from apiary_ops.yards.models import JOBS, MATERIALS, Colony, JobDone, MaterialUse, Visit, Yard

from .days import FutureDay, OutsideSeason, bump_season, refuse_future, season_of
from .tasks import refuse_elsewhere

__all__ = [
    "FutureDay",
    "LeftBeforeArriving",
    "MaterialDraft",
    "NothingUsed",
    "OutsideSeason",
    "UnknownJob",
    "UnknownMaterial",
    "YardNotInUse",
    "edit_visit",
    "leave_visit",
    "locked_visit",
    "record_visit",
]


class YardNotInUse(RuleBroken):
    pass


class LeftBeforeArriving(RuleBroken):
    pass


class UnknownJob(RuleBroken):
    pass


class UnknownMaterial(RuleBroken):
    pass


class NothingUsed(RuleBroken):
    pass


@dataclass(frozen=True, slots=True)
class MaterialDraft:
    """What was used up, in the unit its material is counted in; without a colony it went to the whole yard."""

    material: str
    quantity: Decimal
    colony_id: int | None = None
    note: str = ""


class VisitFacts(TypedDict, total=False):
    """What else may be said of a visit; what is left out was not noted, or is as on most visits."""

    temperature_c: Decimal | None
    sky: str
    work: str
    depth: str
    view: str
    notes: str


@transaction.atomic
def record_visit(
    *,
    season_id: int,
    yard_id: int,
    on: date,
    today: date,
    arrived_at: time | None = None,
    left_at: time | None = None,
    people: int = 1,
    crew_ids: Sequence[int] = (),
    minutes: int = 0,
    km: int | None = None,
    jobs: Iterable[str] = (),
    materials: Sequence[MaterialDraft] = (),
    actor: User,
    once_key: UUID | None = None,
    **facts: Unpack[VisitFacts],
) -> Visit:
    """A visit to a yard; without `km` the yard's round trip is taken.

    Times are the yard's own; when both are given the minutes are those between them. Raises FutureDay,
    OutsideSeason, YardNotInUse, LeftBeforeArriving, UnknownJob, UnknownMaterial, NothingUsed, ColonyElsewhere, and
    AlreadyDone for a key that was carried out.
    """
    claimed = once.claim(once_key, "visit")
    refuse_future(on, today, _("A visit"))
    season = season_of(season_id, on)
    yard = Yard.objects.select_for_update(no_key=True).get(pk=yard_id)
    if not yard.is_active:
        raise YardNotInUse(_("%(yard)s is not in use. Put it back into use before visiting it.") % {"yard": yard})
    visit = Visit(
        season=season,
        yard=yard,
        on=on,
        arrived_at=arrived_at,
        left_at=left_at,
        people=max(people, len(crew_ids)),
        minutes=_minutes(arrived_at, left_at, minutes),
        km=yard.round_trip_km if km is None else km,
        recorded_by=actor,
        **facts,
    )
    visit.full_clean()
    sign(visit, actor)
    visit.save()
    visit.crew.set(crew_ids)
    _set_jobs(visit, jobs)
    _use(visit, materials, actor)
    once.settle(claimed, f"visit:{visit.pk}")
    bump_season(season.pk)
    return visit


@transaction.atomic
def edit_visit(*, visit_id: int, version: int, changes: dict[str, Any], actor: User) -> Visit:
    """Change a visit's header, and `crew_ids`, `jobs` and `materials` as they stand afterwards. Its yard and day stay.

    When both times are known the minutes follow from them. Raises StaleRecord, LeftBeforeArriving, UnknownJob,
    UnknownMaterial, NothingUsed, ColonyElsewhere.
    """
    visit = locked_visit(visit_id)
    changes = dict(changes)
    crew_ids, jobs, materials = (changes.pop(name, None) for name in ("crew_ids", "jobs", "materials"))
    if crew_ids is not None:
        changes["people"] = max(changes.get("people", visit.people), len(crew_ids))
    changes["minutes"] = _minutes(
        changes.get("arrived_at", visit.arrived_at),
        changes.get("left_at", visit.left_at),
        changes.get("minutes", visit.minutes),
    )
    sign(visit, actor)
    changed = bool(save_changes(visit, version, changes))
    if crew_ids is not None:
        visit.crew.set(crew_ids)
    beside = jobs is not None and _set_jobs(visit, jobs)
    if materials is not None:
        beside |= _replace_materials(visit, materials, actor)
    if beside and not changed:  # whoever opened the form before does not see these
        visit.version += 1
        visit.save(update_fields=["version"])
    if changed or beside:
        bump_season(visit.season_id)
    return visit


@transaction.atomic
def leave_visit(
    *,
    visit_id: int,
    left_at: time | None,
    jobs: Iterable[str] = (),
    materials: Sequence[MaterialDraft] = (),
    minutes: int | None = None,
    km: int | None = None,
    actor: User,
    once_key: UUID | None = None,
) -> Visit:
    """Someone leaves the yard: jobs and materials are added to those noted, and the last to leave sets the time.

    So two people of one crew may leave in either order. `minutes` counts only where the arrival is not known.
    Raises LeftBeforeArriving, UnknownJob, UnknownMaterial, NothingUsed, ColonyElsewhere.
    """
    claimed = once.claim(once_key, "leave")
    visit = locked_visit(visit_id)
    last = max((each for each in (visit.left_at, left_at) if each is not None), default=None)
    changes: dict[str, Any] = {
        "left_at": last,
        "minutes": _minutes(visit.arrived_at, last, visit.minutes if minutes is None else minutes),
    }
    if km is not None:
        changes["km"] = km
    sign(visit, actor)
    save_changes(visit, visit.version, changes)
    _set_jobs(visit, {*visit.jobs_done.values_list("job", flat=True), *jobs})
    _use(visit, materials, actor)
    once.settle(claimed, f"visit:{visit.pk}")
    bump_season(visit.season_id)
    return visit


def locked_visit(visit_id: int) -> Visit:
    """One visit with its yard, locked: what is noted of one visit is taken in turn."""
    return Visit.objects.select_for_update(no_key=True, of=("self",)).select_related("yard").get(pk=visit_id)


def _minutes(arrived_at: time | None, left_at: time | None, noted: int) -> int:
    """Minutes at the yard: between the two times when both are known, else as noted."""
    if arrived_at is None or left_at is None:
        return noted
    if left_at < arrived_at:
        raise LeftBeforeArriving(
            _(
                "The crew arrived at %(arrived)s and cannot leave at %(left)s. Mend the times, "
                "or leave one empty and note the minutes."
            )
            % {"arrived": f"{arrived_at:%H:%M}", "left": f"{left_at:%H:%M}"}
        )
    return minutes_between(arrived_at, left_at)


def _set_jobs(visit: Visit, jobs: Iterable[str]) -> bool:
    """The jobs of a visit are these from now on; whether any changed."""
    wanted, standing = set(jobs), set(visit.jobs_done.values_list("job", flat=True))
    if unknown := wanted - dict(JOBS).keys():
        raise UnknownJob(_("“%(job)s” is no job of the list. Choose one of it, or “other”.") % {"job": min(unknown)})
    visit.jobs_done.filter(job__in=standing - wanted).delete()
    JobDone.objects.bulk_create(JobDone(visit=visit, job=job) for job in sorted(wanted - standing))
    return wanted != standing


def _use(visit: Visit, materials: Sequence[MaterialDraft], actor: User) -> None:
    """Note what was used up."""
    wanted = [draft.colony_id for draft in materials if draft.colony_id is not None]
    colonies = Colony.objects.select_related("yard").in_bulk(wanted)
    for draft in materials:
        _refuse_no_material(draft)
        colony = colonies[draft.colony_id] if draft.colony_id is not None else None
        refuse_elsewhere(colony, visit.yard)
        row = MaterialUse(
            visit=visit, colony=colony, material=draft.material, quantity=draft.quantity, note=draft.note.strip()
        )
        row.full_clean()
        sign(row, actor)
        row.save()


def _refuse_no_material(draft: MaterialDraft) -> None:
    names = dict(MATERIALS)
    if draft.material not in names:
        raise UnknownMaterial(
            _("“%(material)s” is no material of the list. Choose one of it, or “other”.") % {"material": draft.material}
        )
    if draft.quantity <= 0:
        raise NothingUsed(
            _("%(material)s: say how much was used, more than 0, or leave it out.")
            % {"material": names[draft.material]}
        )


def _replace_materials(visit: Visit, materials: Sequence[MaterialDraft], actor: User) -> bool:
    """What was used is this from now on; whether anything changed. Rows that say the same stay, with their history."""
    left = list(materials)
    gone = []
    for row in visit.materials.order_by("id"):
        same = MaterialDraft(row.material, row.quantity, row.colony_id, row.note)
        if same in left:
            left.remove(same)
        else:
            gone.append(row)
    for row in gone:
        sign(row, actor)
        row.delete()
    _use(visit, left, actor)
    return bool(gone or left)
