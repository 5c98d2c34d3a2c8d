"""Visits: who went where, when, in what weather."""

from collections.abc import Sequence
from datetime import date
from decimal import Decimal
from typing import Any
from uuid import UUID

from django.db import transaction
from django.utils.translation import gettext as _

from apiary_ops.business.models import Season
from apiary_ops.core import once
from apiary_ops.core.days import spoken_day
from apiary_ops.core.history import sign
from apiary_ops.core.versions import save_changes
from apiary_ops.kernel.refusals import RuleBroken
from apiary_ops.people.models import User
from apiary_ops.yards.models import Visit, Yard

from .days import FutureDay, bump_season, refuse_future

__all__ = ["FutureDay", "OutsideSeason", "YardNotInUse", "edit_visit", "record_visit"]


class OutsideSeason(RuleBroken):
    pass


class YardNotInUse(RuleBroken):
    pass


@transaction.atomic
def record_visit(
    *,
    season_id: int,
    yard_id: int,
    on: date,
    today: date,
    people: int = 1,
    crew_ids: Sequence[int] = (),
    minutes: int = 0,
    km: int | None = None,
    temperature_c: Decimal | None = None,
    sky: str = "",
    work: str = "look",
    view: str = Visit.View.BELOW,
    notes: str = "",
    actor: User,
    once_key: UUID | None = None,
) -> Visit:
    """A visit to a yard; without `km` the yard's round trip is taken.

    Raises FutureDay, OutsideSeason, YardNotInUse, and AlreadyDone for a key that was carried out.
    """
    claimed = once.claim(once_key, "visit")
    refuse_future(on, today, _("A visit"))
    season = Season.objects.get(pk=season_id)
    if on not in season:
        raise OutsideSeason(
            _("%(day)s is not in the season %(season)s. Choose the season it belongs to first.")
            % {"day": spoken_day(on), "season": season}
        )
    yard = Yard.objects.select_for_update(no_key=True).get(pk=yard_id)
    if not yard.is_active:
        raise YardNotInUse(_("%(yard)s is not in use. Put it back into use before visiting it.") % {"yard": yard})
    visit = Visit(
        season=season,
        yard=yard,
        on=on,
        people=max(people, len(crew_ids)),
        minutes=minutes,
        km=yard.round_trip_km if km is None else km,
        temperature_c=temperature_c,
        sky=sky,
        work=work,
        view=view,
        notes=notes,
        recorded_by=actor,
    )
    visit.full_clean()
    sign(visit, actor)
    visit.save()
    visit.crew.set(crew_ids)
    once.settle(claimed, f"visit:{visit.pk}")
    bump_season(season.pk)
    return visit


@transaction.atomic
def edit_visit(*, visit_id: int, version: int, changes: dict[str, Any], actor: User) -> Visit:
    """Change a visit's header: weather, minutes, km, people, view, notes, and `crew_ids`. Its yard and day stay."""
    visit = Visit.objects.select_for_update(no_key=True).get(pk=visit_id)
    changes = dict(changes)
    crew_ids = changes.pop("crew_ids", None)
    if crew_ids is not None:
        changes["people"] = max(changes.get("people", visit.people), len(crew_ids))
    sign(visit, actor)
    changed = save_changes(visit, version, changes)
    if crew_ids is not None:
        visit.crew.set(crew_ids)
    if changed:
        bump_season(visit.season_id)
    return visit
