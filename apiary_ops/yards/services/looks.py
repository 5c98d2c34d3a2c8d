"""Looks: what was seen of colonies on a visit."""

from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass, fields
from datetime import datetime
from decimal import Decimal
from typing import Any
from uuid import UUID

from django.db import IntegrityError, transaction
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from simple_history.utils import bulk_create_with_history

from apiary_ops.core import clock, once
from apiary_ops.core.days import spoken_day
from apiary_ops.core.history import sign
from apiary_ops.core.versions import save_changes
from apiary_ops.kernel.refusals import RuleBroken
from apiary_ops.people.models import User
from apiary_ops.yards.compute import cold_brood_warning, frames_were_out, halves_held
from apiary_ops.yards.models import Colony, Look, Visit

from .days import bump_open_seasons, bump_season, bumping_last
from .holds import stop_for_disease
from .rule_tasks import tasks_from_looks
from .standing import locked
from .visits import locked_visit

COUNTS = {"below_halves": "from below", "above_halves": "from above", "sealed_halves": "of sealed brood"}
# What a look may say besides its counts; bees that fly say nothing of a colony.
SAID = (
    "lower_box",
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


class AnotherYard(RuleBroken):
    pass


class LookBeforeStart(RuleBroken):
    pass


class NotAlive(RuleBroken):
    pass


class AlreadyLooked(RuleBroken):
    pass


class NothingSeen(RuleBroken):
    pass


class TooManyFrames(RuleBroken):
    pass


class NoLowerBox(RuleBroken):
    pass


@dataclass(frozen=True, slots=True)
class LookDraft:
    """What was seen of one colony. Frames are in halves; None and empty words mean "not looked at"."""

    colony_id: int
    below_halves: int | None = None
    above_halves: int | None = None
    flying: bool = False
    lower_box: str = ""
    sealed_halves: int | None = None
    queen: str = ""
    patty: str = ""
    cells: str = ""
    heft: str = ""
    suspect_disease: bool = False
    strips_pulled: bool = False
    lower_box_off: bool = False
    patty_given: bool = False
    broken_frame: bool = False
    note: str = ""
    observed_by_id: int | None = None
    observed_at: datetime | None = None


@dataclass(frozen=True, slots=True)
class LooksRecorded:
    """The looks as they stand, what deserves a word of warning, and whether the visit must stop."""

    looks: list[Look]
    warnings: tuple[str, ...]
    stopped: bool  # disease is suspected: the yard is on hold


@transaction.atomic
@bumping_last()
def record_looks(
    *, visit_id: int, looks: Sequence[LookDraft], actor: User, once_key: UUID | None = None
) -> LooksRecorded:
    """Looks of one visit, all or none, with the tasks that follow from them.

    Suspected disease puts the yard on hold and makes a task to call the inspector; a lower box taken off is one box
    fewer. Raises AnotherYard, LookBeforeStart, NotAlive, AlreadyLooked, NothingSeen, TooManyFrames, NoLowerBox.
    """
    claimed = once.claim(once_key, "looks")
    visit = locked_visit(visit_id)
    colonies = locked(draft.colony_id for draft in looks)
    seen = set(Look.objects.filter(visit=visit).values_list("colony_id", flat=True))
    rows = []
    for draft in looks:
        colony = colonies[draft.colony_id]
        _refuse_where_it_was_not(visit, colony)
        if colony.pk in seen:
            raise AlreadyLooked(
                _("%(colony)s was already looked at on this visit. Correct that look instead.") % {"colony": colony}
            )
        seen.add(colony.pk)
        facts = asdict(draft)
        _refuse_impossible(facts, colony)
        row = Look(visit=visit, **facts)
        row.colony = colony
        row.clean_fields(exclude=["visit", "colony"])
        rows.append(row)
    try:
        with transaction.atomic():
            rows = bulk_create_with_history(rows, Look, default_user=actor, default_date=clock.now())
    except IntegrityError:
        raise AlreadyLooked(
            _("Someone recorded one of these colonies meanwhile. Look again and correct that.")
        ) from None
    for row in rows:
        _count_boxes(row.colony, -row.lower_box_off, actor)
    tasks_from_looks(visit=visit, looks=rows, actor=actor)
    stopped = _stop_for_disease(visit, rows, actor)
    once.settle(claimed, f"visit:{visit.pk}")
    bump_season(visit.season_id)
    return LooksRecorded(rows, _warnings(visit, rows), stopped)


def record_look(*, visit_id: int, look: LookDraft, actor: User, once_key: UUID | None = None) -> LooksRecorded:
    """One look; see record_looks."""
    return record_looks(visit_id=visit_id, looks=[look], actor=actor, once_key=once_key)


@transaction.atomic
@bumping_last()
def correct_look(*, look_id: int, version: int, changes: dict[str, Any], actor: User) -> LooksRecorded:
    """Mend a look, its tasks and the boxes it took off; what it said before stays in its history.

    Raises StaleRecord, NothingSeen, TooManyFrames, NoLowerBox.
    """
    visit = Visit.objects.select_for_update(no_key=True, of=("self",)).select_related("yard").get(looks__pk=look_id)
    look = Look.objects.select_for_update(no_key=True).get(pk=look_id)
    look.visit = visit
    look.colony = locked([look.colony_id])[look.colony_id]
    suspected, box_was_off = look.suspect_disease, look.lower_box_off
    standing = {field.name: getattr(look, field.name) for field in fields(LookDraft)}
    _refuse_impossible(standing | changes, look.colony, boxes_off=box_was_off)
    sign(look, actor)
    changed = save_changes(look, version, changes)
    _count_boxes(look.colony, box_was_off - look.lower_box_off, actor)
    stopped = look.suspect_disease and not suspected and _stop_for_disease(look.visit, [look], actor)
    if changed:
        tasks_from_looks(visit=look.visit, looks=[look], actor=actor)
        bump_season(look.visit.season_id)
    return LooksRecorded([look], _warnings(look.visit, [look]), stopped)


def _refuse_where_it_was_not(visit: Visit, colony: Colony) -> None:
    if colony.yard_id != visit.yard_id:
        raise AnotherYard(
            _("%(colony)s stands in %(yard)s, not in %(visited)s. Record a visit there.")
            % {"colony": colony, "yard": colony.yard, "visited": visit.yard}
        )
    if visit.on < colony.started_on:
        raise LookBeforeStart(
            _("%(colony)s started on %(day)s, after this visit.")
            % {"colony": colony, "day": spoken_day(colony.started_on)}
        )
    if colony.ended_on and colony.ended_on < visit.on:
        raise NotAlive(
            _("%(colony)s ended on %(day)s, before this visit.")
            % {"colony": colony, "day": spoken_day(colony.ended_on)}
        )


def _refuse_impossible(facts: Mapping[str, Any], colony: Colony, *, boxes_off: int = 0) -> None:
    """Refuse more than the boxes held before one was taken off, and a look that says nothing."""
    boxes = colony.boxes + boxes_off
    words = ngettext("%(boxes)s box", "%(boxes)s boxes", boxes) % {"boxes": boxes}
    held = halves_held(boxes)
    for name, counted in COUNTS.items():
        halves = facts[name]
        if halves is not None and halves > held:
            raise TooManyFrames(
                _("%(colony)s has %(boxes)s: at most %(most)s frames fit, not %(frames)s %(words)s.")
                % {"colony": colony, "boxes": words, "most": held // 2, "frames": _frames(halves), "words": counted}
            )
    if facts["lower_box_off"] and boxes < 2:
        raise NoLowerBox(
            _("%(colony)s has %(boxes)s: there is no lower box to take off. Mend its boxes first.")
            % {"colony": colony, "boxes": words}
        )
    if not any(facts[name] for name in SAID) and all(facts[name] is None for name in COUNTS):
        raise NothingSeen(_("Nothing was noted of %(colony)s. Tap what you saw, or skip it.") % {"colony": colony})


def _count_boxes(colony: Colony, change: int, actor: User) -> None:
    """One box fewer, or back again; an ended colony's boxes are no longer counted."""
    if change and colony.ended_on is None:
        sign(colony, actor)
        save_changes(colony, colony.version, {"boxes": colony.boxes + change})
        bump_open_seasons()


def _frames(halves: int) -> str:
    return f"{Decimal(halves) / 2:g}"


def _warnings(visit: Visit, looks: Sequence[Look]) -> tuple[str, ...]:
    said = (
        cold_brood_warning(
            frames_out=frames_were_out(sealed_halves=look.sealed_halves, queen=look.queen),
            temperature_c=visit.temperature_c,
        )
        for look in looks
    )
    return tuple(dict.fromkeys(words for words in said if words))


def _stop_for_disease(visit: Visit, looks: Sequence[Look], actor: User) -> bool:
    tags = [look.colony.tag for look in looks if look.suspect_disease]
    return stop_for_disease(visit=visit, tags=tags, actor=actor)
