"""Treatments: given by their label to a colony or a yard, and ended."""

from collections.abc import Collection
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from uuid import UUID

from django.db import transaction
from django.utils.translation import gettext as _

from apiary_ops.core import once
from apiary_ops.core.days import spoken_day
from apiary_ops.core.history import sign
from apiary_ops.kernel.refusals import RuleBroken
from apiary_ops.people.models import User
from apiary_ops.yards import queries
from apiary_ops.yards.models import Colony, Treatment, TreatmentKind, Yard

from .days import bump_open_seasons, bump_season, bumping_last, refuse_future, season_of
from .strips import close_treatment, make_strips_task
from .tasks import colony_at


class TreatmentRetired(RuleBroken):
    pass


class TooWarmToTreat(RuleBroken):
    pass


class TooWeakToTreat(RuleBroken):
    pass


class OutsideLabel(RuleBroken):
    pass


class StillInTheHive(RuleBroken):
    pass


class TreatmentEnded(RuleBroken):
    pass


class TreatmentEndsTooEarly(RuleBroken):
    pass


@dataclass(frozen=True, slots=True)
class TreatmentGiven:
    """The treatments recorded, and the tags of colonies too weak to have it or yet to be judged on the spot."""

    treatments: list[Treatment]
    left_out: list[str]
    not_counted: list[str]


@transaction.atomic
@bumping_last()
def give_treatment(
    *,
    season_id: int,
    yard_id: int,
    kind_id: int,
    starts_on: date,
    today: date,
    colony_id: int | None = None,
    visit_id: int | None = None,
    due_out_on: date | None = None,
    temperature_c: Decimal | None = None,
    dose: str = "",
    label_lot: str = "",
    leaves_out_weak: bool = False,
    actor: User,
    once_key: UUID | None = None,
) -> TreatmentGiven:
    """A treatment given to one colony, or to all of a yard; one that must come out makes its task.

    Without `due_out_on` the label's longest time is taken. In a yard with colonies too weak for the label,
    `leaves_out_weak` records it colony by colony for the others. Raises FutureDay, OutsideSeason, ColonyElsewhere,
    TreatmentRetired, TooWarmToTreat, TooWeakToTreat, OutsideLabel, StillInTheHive.
    """
    claimed = once.claim(once_key, "treatment")
    refuse_future(starts_on, today, _("A treatment"))
    season_of(season_id, starts_on)
    yard = Yard.objects.select_for_update(no_key=True).get(pk=yard_id)
    colony = colony_at(yard, colony_id)
    kind = TreatmentKind.objects.get(pk=kind_id)
    due_out_on = due_out_on or kind.label.last_day(starts_on)
    _refuse_by_label(kind, starts_on, due_out_on, temperature_c)
    strengths = _strengths(season_id, starts_on, yard, colony)
    weak = kind.label.too_weak(strengths)
    if weak and (not leaves_out_weak or len(weak) == len(strengths)):
        raise TooWeakToTreat(_too_weak_words(kind, weak))
    treated = _fit(yard, strengths.keys() - set(weak)) if weak else [colony]
    _refuse_while_in(kind, yard, treated)
    rows = [
        Treatment(
            yard=yard,
            colony=each,
            visit_id=visit_id,
            kind=kind,
            dose=dose.strip(),
            label_lot=label_lot.strip(),
            starts_on=starts_on,
            due_out_on=due_out_on,
        )
        for each in treated
    ]
    for row in rows:
        _save(row, season_id, actor)
    once.settle(claimed, f"treatment:{rows[0].pk}" if rows else "")
    bump_season(season_id)
    return TreatmentGiven(rows, weak, kind.label.not_counted(strengths))


def _fit(yard: Yard, tags: Collection[str]) -> list[Colony | None]:
    return list(Colony.objects.filter(yard=yard, tag__in=tags).order_by("position"))


def _save(treatment: Treatment, season_id: int, actor: User) -> None:
    treatment.full_clean()
    sign(treatment, actor)
    treatment.save()
    make_strips_task(treatment=treatment, season_id=season_id, actor=actor)


@transaction.atomic
@bumping_last()
def end_treatment(*, treatment_id: int, on: date, today: date, actor: User) -> Treatment:
    """A treatment is out again, or has ended; the task to take it out is done with it.

    Raises FutureDay, TreatmentEnded, TreatmentEndsTooEarly.
    """
    refuse_future(on, today, _("The end of a treatment"))
    rows = Treatment.objects.select_for_update(no_key=True, of=("self",)).select_related("kind")
    treatment = rows.get(pk=treatment_id)
    if treatment.ended_on is not None:
        raise TreatmentEnded(_("This already ended on %(day)s.") % {"day": spoken_day(treatment.ended_on)})
    if on < treatment.starts_on:
        raise TreatmentEndsTooEarly(
            _("It was given on %(day)s. It cannot end before.") % {"day": spoken_day(treatment.starts_on)}
        )
    close_treatment(treatment, on, actor)
    bump_open_seasons()
    return treatment


def _refuse_by_label(kind: TreatmentKind, starts_on: date, due_out_on: date, temperature_c: Decimal | None) -> None:
    if not kind.is_in_use:
        raise TreatmentRetired(_("%(kind)s is not in use any more. Choose another treatment.") % {"kind": kind})
    if kind.label.is_too_warm(temperature_c):
        raise TooWarmToTreat(
            _("%(kind)s is not given above %(warmest)s °C: it harms brood and queen. Wait for a cooler day.")
            % {"kind": kind, "warmest": kind.warmest_c}
        )
    days = (due_out_on - starts_on).days
    if not kind.least_days <= days <= kind.most_days:
        raise OutsideLabel(
            _("%(kind)s: the label allows %(least)s to %(most)s days, not %(days)s. Choose a day within them.")
            % {"kind": kind, "least": kind.least_days, "most": kind.most_days, "days": days}
        )


def _strengths(season_id: int, on: date, yard: Yard, colony: Colony | None) -> dict[str, Decimal | None]:
    rows = queries.graded_colonies(season_id, on, yard_id=yard.pk, colony_id=colony.pk if colony else None)
    return {row.tag: row.strength_frames for row in rows}


def _too_weak_words(kind: TreatmentKind, weak: list[str]) -> str:
    shown = ", ".join(weak[:8]) + (_(" and %(more)s more") % {"more": len(weak) - 8} if len(weak) > 8 else "")
    return _("%(kind)s asks for %(least)s frames of bees. Too weak for it: %(tags)s. Leave these out.") % {
        "kind": kind,
        "least": f"{float(kind.least_frames or 0):g}",
        "tags": shown,
    }


def _refuse_while_in(kind: TreatmentKind, yard: Yard, treated: list[Colony | None]) -> None:
    """The same treatment is not given twice at once: to the yard, or to a colony that has it."""
    running = Treatment.objects.filter(yard=yard, kind=kind, ended_on__isnull=True, kind__comes_out=True)
    if None not in treated:
        running = running.filter(colony__isnull=True) | running.filter(colony__in=treated)
    if standing := running.select_related("colony").first():
        raise StillInTheHive(
            _("%(kind)s has been in %(where)s since %(day)s. End that treatment first.")
            % {"kind": kind, "where": standing.colony or yard, "day": spoken_day(standing.starts_on)}
        )
