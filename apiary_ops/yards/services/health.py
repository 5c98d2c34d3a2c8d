"""Health: mites washed and counted, brood checked."""

from datetime import timedelta
from uuid import UUID

from django.db import transaction
from django.utils.translation import gettext as _

from apiary_ops.core import once
from apiary_ops.core.history import sign
from apiary_ops.kernel.refusals import RuleBroken
from apiary_ops.people.models import User
from apiary_ops.yards.compute import mite_load
from apiary_ops.yards.models import BroodCheck, MiteWash, Task

from .days import bump_season, bumping_last
from .holds import stop_for_disease
from .tasks import add_task, colony_at
from .visits import locked_visit

TREAT_WITHIN = timedelta(days=7)  # an assumption


class MoreMitesThanBees(RuleBroken):
    pass


@transaction.atomic
@bumping_last()
def record_mite_wash(
    *,
    visit_id: int,
    colony_id: int | None = None,
    mites: int,
    bees: int = 300,
    method: str = MiteWash.Method.ALCOHOL,
    actor: User,
    once_key: UUID | None = None,
) -> MiteWash:
    """Mites counted in a sample of bees; without a colony it stands for the yard. At the limit it makes a task.

    Raises ColonyElsewhere, MoreMitesThanBees.
    """
    claimed = once.claim(once_key, "mite-wash")
    visit = locked_visit(visit_id)
    wash = MiteWash(visit=visit, colony=colony_at(visit.yard, colony_id), method=method, bees=bees, mites=mites)
    _save_wash(wash, actor)
    once.settle(claimed, f"mite-wash:{wash.pk}")
    bump_season(visit.season_id)
    return wash


@transaction.atomic
@bumping_last()
def correct_mite_wash(*, wash_id: int, mites: int, bees: int, method: str, actor: User) -> MiteWash:
    """Mend a wash; what it said before stays in its history. Raises MoreMitesThanBees."""
    rows = MiteWash.objects.select_for_update(no_key=True, of=("self",)).select_related("visit", "colony")
    wash = rows.get(pk=wash_id)
    wash.mites, wash.bees, wash.method = mites, bees, method
    _save_wash(wash, actor)
    bump_season(wash.visit.season_id)
    return wash


def _save_wash(wash: MiteWash, actor: User) -> None:
    if wash.mites > 2 * wash.bees:
        raise MoreMitesThanBees(
            _("%(mites)s mites on %(bees)s bees cannot be: count again, mites first.")
            % {"mites": wash.mites, "bees": wash.bees}
        )
    wash.full_clean()
    sign(wash, actor)
    wash.save()
    _ask_to_treat(wash, actor)


def _ask_to_treat(wash: MiteWash, actor: User) -> None:
    """One open task while the wash is at the limit; none, however it was corrected, once it is under."""
    source = f"mite-wash:{wash.pk}"
    for task in Task.objects.filter(source=source, done_on__isnull=True):
        sign(task, actor)
        task.delete()
    load = mite_load(mites=wash.mites, bees=wash.bees, on=wash.visit.on)
    if not load.is_at_limit or (wash.colony is not None and wash.colony.ended_on is not None):
        return
    add_task(
        season_id=wash.visit.season_id,
        yard_id=wash.colony.yard_id if wash.colony else wash.visit.yard_id,
        colony_id=wash.colony_id,
        what=_("Treat for mites: %(percent)s %% washed, the limit is %(limit)s %%")
        % {"percent": load.percent, "limit": load.limit},
        due_on=wash.visit.on + TREAT_WITHIN,
        source=source,
        actor=actor,
    )


@transaction.atomic
@bumping_last()
def record_brood_check(
    *,
    visit_id: int,
    colony_id: int | None = None,
    colonies_checked: int = 1,
    result: str,
    note: str = "",
    actor: User,
    once_key: UUID | None = None,
) -> BroodCheck:
    """Brood looked over for disease, in one colony or in so many of the yard.

    A suspicion holds the yard and makes a task to call the inspector, as a look does. Raises ColonyElsewhere.
    """
    claimed = once.claim(once_key, "brood-check")
    visit = locked_visit(visit_id)
    check = BroodCheck(
        visit=visit,
        colony=colony_at(visit.yard, colony_id),
        colonies_checked=1 if colony_id else colonies_checked,
        result=result,
        note=note.strip(),
    )
    _save_check(check, actor)
    once.settle(claimed, f"brood-check:{check.pk}")
    bump_season(visit.season_id)
    return check


@transaction.atomic
@bumping_last()
def correct_brood_check(*, check_id: int, colonies_checked: int, result: str, note: str, actor: User) -> BroodCheck:
    """Mend a brood check. A hold that a suspicion placed stays: only the inspector's word ends it."""
    rows = BroodCheck.objects.select_for_update(no_key=True, of=("self",)).select_related("visit__yard", "colony")
    check = rows.get(pk=check_id)
    check.colonies_checked = 1 if check.colony_id else colonies_checked
    check.result, check.note = result, note.strip()
    _save_check(check, actor)
    bump_season(check.visit.season_id)
    return check


def _save_check(check: BroodCheck, actor: User) -> None:
    check.full_clean()
    sign(check, actor)
    check.save()
    if check.result == BroodCheck.Result.SUSPECT:
        suspected = check.colony.tag if check.colony else _("a colony of %(yard)s") % {"yard": check.visit.yard}
        stop_for_disease(visit=check.visit, tags=[suspected], actor=actor)
