"""Colonies and looks from a file: written in one go, each marked with its import, and taken back by that mark."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from datetime import date
from decimal import Decimal
from typing import Any

from django.db import DEFAULT_DB_ALIAS, IntegrityError, transaction
from django.db.models import Model, ProtectedError, Q
from django.db.models.deletion import Collector
from django.utils.translation import gettext as _
from simple_history.utils import bulk_create_with_history

from apiary_ops.business.queries import seasons
from apiary_ops.core import clock
from apiary_ops.core.days import spoken_day
from apiary_ops.core.history import sign
from apiary_ops.kernel.ref import Ref
from apiary_ops.kernel.refusals import RuleBroken
from apiary_ops.people.models import User
from apiary_ops.sheets.compute import Row
from apiary_ops.sheets.models import ImportRun
from apiary_ops.yards import compute, queries
from apiary_ops.yards.models import Colony, Look, Task, Visit
from apiary_ops.yards.queries.imports import AT_A_TIME, COLONY_FACTS, LOOK_FACTS, chunks

from .days import bump_open_seasons, bump_season, bumping_last
from .holds import stop_for_disease
from .standing import lock_yards


class ChangedMeanwhile(RuleBroken):
    pass


class BuiltUpon(RuleBroken):
    pass


@transaction.atomic
def import_colonies(*, rows: Sequence[Row], run: ImportRun, today: date, actor: User) -> None:
    """New colonies as a file has them. Raises ChangedMeanwhile when a tag or a position was taken since it was read."""
    placed, _faults = queries.colonies_from_rows(rows)
    lock_yards(*{one.yard_id for one in placed})
    placed, faults = queries.colonies_from_rows(rows)
    if faults:
        raise ChangedMeanwhile(_("Someone changed these yards meanwhile. Look at the file again."))
    colonies = [
        Colony(import_run=run, yard_id=one.yard_id, **_facts(one.row, COLONY_FACTS) | {"position": one.position})
        for one in placed
    ]
    _create(colonies, Colony, actor)
    bump_open_seasons()


@transaction.atomic
def undo_colonies(*, run: ImportRun, actor: User) -> None:
    """Delete the colonies of an import. Raises BuiltUpon when one of them was changed, looked at or used since."""
    colonies = Colony.objects.filter(import_run=run)
    lock_yards(*set(colonies.values_list("yard_id", flat=True)))
    changed = colonies.filter(version__gt=1).order_by("tag").first()
    if changed:
        raise BuiltUpon(_("%(tag)s was changed since it was imported. End what is wrong instead.") % {"tag": changed})
    _delete(colonies.order_by("pk"), actor)
    bump_open_seasons()


@transaction.atomic
@bumping_last()
def import_looks(*, rows: Sequence[Row], run: ImportRun, today: date, actor: User) -> None:
    """Looks as a file has them, in visits of their own: one for each yard, day and temperature.

    They are history: they make no tasks, end no treatment and take no box off. Disease suspected in the season that
    runs puts the yard on hold all the same. Raises ChangedMeanwhile.
    """
    placed, _faults = queries.looks_from_rows(rows)
    lock_yards(*{one.colony.yard_id for one in placed})
    placed, faults = queries.looks_from_rows(rows)
    if faults:
        raise ChangedMeanwhile(_("Someone changed these colonies meanwhile. Look at the file again."))
    visits = _visits(placed, run, actor)
    looks = [
        Look(
            import_run=run,
            visit=visits[_visit_key(one)],
            colony_id=one.colony.pk,
            observed_by_id=one.observed_by_id,
            **_facts(one.row, LOOK_FACTS),
        )
        for one in placed
    ]
    _create(looks, Look, actor)
    _stop_for_disease(placed, visits, today, actor)
    for season_id in sorted({one.season_id for one in placed}):
        bump_season(season_id)


@transaction.atomic
def undo_looks(*, run: ImportRun, actor: User) -> None:
    """Delete the looks of an import and the visits it made for them; a hold placed for them stays until it is ended.

    Raises BuiltUpon when one was corrected since, made a task, or when something else was noted on such a visit.
    """
    looks = Look.objects.filter(import_run=run).select_related("colony", "visit")
    lock_yards(*set(looks.values_list("visit__yard_id", flat=True)))
    corrected = looks.filter(version__gt=1).order_by("colony__tag").first()
    if corrected:
        raise BuiltUpon(
            _("The look at %(tag)s was corrected since it was imported. Correct what is wrong instead.")
            % {"tag": corrected.colony}
        )
    by_source = {str(Ref("look", str(look.pk))): look for look in looks}
    for some in chunks(by_source):
        task = Task.objects.filter(source__in=some).order_by("pk").first()
        if task:
            raise BuiltUpon(
                _("A task rests on the look at %(tag)s: %(task)s. Correct what is wrong instead.")
                % {"tag": by_source[task.source].colony, "task": task}
            )
    visits = Visit.objects.filter(looks__import_run=run).distinct().order_by("pk")
    seasons_touched = sorted(set(visits.values_list("season_id", flat=True)))
    used = visits.filter(Q(version__gt=1) | Q(jobs_done__isnull=False) | Q(crew__isnull=False)).first()
    if used:
        raise BuiltUpon(
            _("More was noted of the visit of %(day)s since. Correct what is wrong instead.")
            % {"day": spoken_day(used.on)}
        )
    standing = list(visits)
    _delete(looks.order_by("pk"), actor)
    _delete(standing, actor)
    for season_id in seasons_touched:
        bump_season(season_id)


def _facts(row: Row, names: Sequence[str]) -> dict[str, Any]:
    """What the row says; a cell left empty keeps what the record has by itself."""
    return {name: row.values[name] for name in names if row.values[name] is not None}


def _create(records: Sequence[Model], model: type[Model], actor: User) -> None:
    try:
        with transaction.atomic():
            bulk_create_with_history(records, model, batch_size=AT_A_TIME, default_user=actor, default_date=clock.now())
    except IntegrityError:
        raise ChangedMeanwhile(_("Someone took one of these tags or positions meanwhile. Look again.")) from None


VisitKey = tuple[int, date, Decimal | None]


def _visit_key(look: compute.PlacedLook) -> VisitKey:
    values = look.row.values
    degrees = values["degrees_f"] if values["degrees_c"] is None else values["degrees_c"]
    return look.colony.yard_id, values["on"], degrees


def _visits(looks: Sequence[compute.PlacedLook], run: ImportRun, actor: User) -> dict[VisitKey, Visit]:
    by_key: dict[VisitKey, list[compute.PlacedLook]] = defaultdict(list)
    for look in looks:
        by_key[_visit_key(look)].append(look)
    visits = {key: _visit(key, some, run, actor) for key, some in by_key.items()}
    _create(list(visits.values()), Visit, actor)
    return visits


def _visit(key: VisitKey, looks: Sequence[compute.PlacedLook], run: ImportRun, actor: User) -> Visit:
    """A visit without km: what was driven is not in the file, and is not counted twice."""
    yard_id, on, degrees = key
    below = any(look.row.values["below_halves"] is not None for look in looks)
    above = any(look.row.values["above_halves"] is not None for look in looks)
    view = Visit.View.BOTH if below and above else Visit.View.ABOVE if above else Visit.View.BELOW
    notes = _("Imported from %(file)s.") % {"file": run.file_name}
    return Visit(
        season_id=looks[0].season_id,
        yard_id=yard_id,
        on=on,
        temperature_c=degrees,
        view=view,
        notes=notes,
        recorded_by=actor,
    )


def _stop_for_disease(
    looks: Sequence[compute.PlacedLook], visits: dict[VisitKey, Visit], today: date, actor: User
) -> None:
    running = {season.pk for season in seasons() if today in season}
    tags: dict[VisitKey, list[str]] = defaultdict(list)
    for look in looks:
        if look.row.values["suspect_disease"] and look.season_id in running:
            tags[_visit_key(look)].append(look.row.values["tag"])
    for key, named in tags.items():
        stop_for_disease(visit=visits[key], tags=named, actor=actor)


def _delete(rows: Iterable[Model], actor: User) -> None:
    """Delete rows in one go, each signed in its history."""
    signed = list(rows)
    for row in signed:
        sign(row, actor)
    collector = Collector(using=DEFAULT_DB_ALIAS)
    try:
        collector.collect(signed)
    except ProtectedError as refusal:
        other = next(iter(refusal.protected_objects))
        named = getattr(other, "colony", None) or other  # a tag says more than the number of a row
        raise BuiltUpon(
            _(
                "Something was recorded since that rests on what this import brought (%(what)s: %(other)s). "
                "Take that back first, or let the import stand."
            )
            % {"what": other._meta.verbose_name, "other": named}
        ) from None
    collector.delete()
