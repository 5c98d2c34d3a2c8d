"""Tallies: a yard counted up by eye."""

from collections.abc import Mapping
from uuid import UUID

from django.db import IntegrityError, transaction
from django.utils.translation import gettext as _

from apiary_ops.core import once
from apiary_ops.core.history import sign
from apiary_ops.core.versions import StaleRecord
from apiary_ops.kernel.refusals import RuleBroken
from apiary_ops.people.models import User
from apiary_ops.yards import queries
from apiary_ops.yards.models import Tally, TallyCount, Visit

from .days import bump_season
from .visits import locked_visit

MOST_TIMES_STANDING = 2  # more than twice what stands in a yard is a slip of the pen


class AlreadyTallied(RuleBroken):
    pass


class UnknownGrade(RuleBroken):
    pass


class NothingCounted(RuleBroken):
    pass


class TooManyCounted(RuleBroken):
    pass


@transaction.atomic
def record_tally(
    *, visit_id: int, counts: Mapping[str, int], dead: int = 0, actor: User, once_key: UUID | None = None
) -> Tally:
    """How many colonies of each grade, by the rules in force on the visit's day, and how many dead.

    Raises AlreadyTallied, UnknownGrade, NothingCounted, TooManyCounted.
    """
    claimed = once.claim(once_key, "tally")
    visit = locked_visit(visit_id)
    _refuse_impossible(visit, counts, dead)
    tally = Tally(visit=visit, dead=dead)
    tally.clean_fields()
    sign(tally, actor)
    try:
        with transaction.atomic():
            tally.save()
    except IntegrityError:
        raise AlreadyTallied(
            _("%(yard)s was already tallied on this visit. Correct that tally instead.") % {"yard": visit.yard}
        ) from None
    _set_counts(tally, counts, actor)
    once.settle(claimed, f"visit:{visit.pk}")
    bump_season(visit.season_id)
    return tally


@transaction.atomic
def correct_tally(*, tally_id: int, version: int, counts: Mapping[str, int], dead: int, actor: User) -> Tally:
    """Mend a tally; what it said before stays in its history.

    Raises StaleRecord, UnknownGrade, NothingCounted, TooManyCounted.
    """
    tally = Tally.objects.select_for_update(no_key=True, of=("self",)).select_related("visit__yard").get(pk=tally_id)
    _refuse_impossible(tally.visit, counts, dead)
    standing = dict(tally.counts.values_list("grade", "colonies"))
    if version == tally.version and (dead, _counted(counts)) == (tally.dead, standing):
        return tally
    if version != tally.version:
        raise StaleRecord(tally)
    tally.dead, tally.version = dead, tally.version + 1
    tally.clean_fields()
    sign(tally, actor)
    tally.save(update_fields=["dead", "version"])
    _set_counts(tally, counts, actor)
    bump_season(tally.visit.season_id)
    return tally


def _counted(counts: Mapping[str, int]) -> dict[str, int]:
    return {grade: colonies for grade, colonies in counts.items() if colonies}


def _refuse_impossible(visit: Visit, counts: Mapping[str, int], dead: int) -> None:
    grades = queries.grades_in_force(visit.on)
    for grade, colonies in counts.items():
        if grade not in grades:
            raise UnknownGrade(
                _("“%(grade)s” is no grade of the rules of that day. Count in: %(grades)s.")
                % {"grade": grade, "grades": ", ".join(grades)}
            )
        if colonies < 0:
            raise NothingCounted(_("Fewer than 0 %(grade)s cannot be counted.") % {"grade": grade})
    counted = sum(counts.values()) + dead
    if counted <= 0 or dead < 0:
        raise NothingCounted(_("Nothing was counted. Say how many of each grade stand here, and how many are dead."))
    standing = queries.standing_on(visit.yard_id, visit.on).count()
    if counted > MOST_TIMES_STANDING * standing:
        raise TooManyCounted(
            _("%(counted)s were counted, but %(standing)s stand in %(yard)s. Count again, or add the colonies first.")
            % {"counted": counted, "standing": standing, "yard": visit.yard}
        )


def _set_counts(tally: Tally, counts: Mapping[str, int], actor: User) -> None:
    """The counts of a tally are these from now on; a grade nobody counted has no row."""
    wanted = _counted(counts)
    for row in tally.counts.exclude(grade__in=wanted):
        sign(row, actor)
        row.delete()
    standing = {row.grade: row for row in tally.counts.all()}
    for grade, colonies in wanted.items():
        row = standing.get(grade) or TallyCount(tally=tally, grade=grade)
        if row.colonies != colonies:
            row.colonies = colonies
            row.clean_fields()
            sign(row, actor)
            row.save()
