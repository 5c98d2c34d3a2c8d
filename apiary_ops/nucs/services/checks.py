from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any
from uuid import UUID

from django.db import transaction
from django.urls import reverse
from django.utils.translation import gettext as _

from apiary_ops.business import stamps
from apiary_ops.core import once
from apiary_ops.kernel.refusals import RuleBroken
from apiary_ops.nucs.compute import DETOURS, queen_state
from apiary_ops.nucs.models import Check, Nuc
from apiary_ops.nucs.queries.ready import checks_by_nuc, of_present_queen
from apiary_ops.people.models import User

from .locks import lock_nucs
from .ready import refresh_ready_days, write


@dataclass(frozen=True, slots=True)
class CheckDraft:
    """What was seen of one nuc; None and empty text mean: not looked. Frames are in halves."""

    nuc_id: int
    queen: str = ""
    covered_halves: int | None = None
    brood_halves: int | None = None
    own_sealed_brood: bool | None = None
    food_halves: int | None = None
    queen_cells: bool | None = None
    disease_clear: bool | None = None
    note: str = ""

    @property
    def is_empty(self) -> bool:
        return self == CheckDraft(self.nuc_id)


class CheckRefused(RuleBroken):
    """What was recorded of the nuc `nuc_id` cannot be; nothing of the round is kept."""

    def __init__(self, message: str, nuc_id: int) -> None:
        super().__init__(message)
        self.nuc_id = nuc_id


def record_check(*, nuc_id: int, on: date, actor: User, once_key: UUID | None = None, **seen: Any) -> Check:
    """What was seen of one nuc on a day: queen, covered_halves, brood_halves, own_sealed_brood, food_halves,
    queen_cells, disease_clear, note; what is left out was not looked at. Raises what `record_checks` raises.
    """
    return record_checks(on=on, drafts=[CheckDraft(nuc_id, **seen)], actor=actor, once_key=once_key)[0]


@transaction.atomic
def record_checks(*, on: date, drafts: Sequence[CheckDraft], actor: User, once_key: UUID | None = None) -> list[Check]:
    """What was seen of many nucs on one day, all or none. A queen seen laying, or missing, moves the nuc's state.

    Raises CheckRefused (which names the nuc), NoSuchNuc, AlreadyDone.
    """
    claimed = once.claim(once_key, "nucs checked")
    by_nuc = {draft.nuc_id: draft for draft in drafts}
    nucs = lock_nucs(by_nuc)
    for nuc in nucs:
        if trouble := _trouble(nuc, by_nuc[nuc.pk], on):
            raise CheckRefused(trouble, nuc.pk)
    checks = Check.objects.bulk_create(_check(draft, on, actor) for draft in drafts)
    _move_states(nucs, actor)
    refresh_ready_days(nucs, actor=actor)
    for season_id in sorted({nuc.season_id for nuc in nucs}):
        stamps.bump(season_id, "nucs")
    if nucs:
        once.settle(claimed, reverse("nucs:batch", args=[nucs[0].batch_id]))
    return checks


def _trouble(nuc: Nuc, draft: CheckDraft, on: date) -> str:
    """Why a nuc cannot have been seen like this on that day, or nothing."""
    words = {"number": nuc.number, "state": nuc.get_state_display(), "frames": nuc.kind.frames}
    if not nuc.is_live:
        return _("Nuc %(number)s has left: it is %(state)s. Leave its row empty.") % words
    if draft.is_empty:
        return _("Nothing was recorded of nuc %(number)s. Enter what was seen, or leave it out.") % words
    if on < nuc.batch.made_on:
        return _("Nuc %(number)s was not yet made up on that day. Choose a later day.") % words
    if draft.queen in (Check.Queen.RELEASED, Check.Queen.LAYING):
        if nuc.queened_on is None:
            return _("Nuc %(number)s was given no queen yet. Put its queen in first.") % words
        if on < nuc.queened_on:
            return _("The queen of nuc %(number)s went in after that day. Choose a later day.") % words
    frames = (draft.covered_halves, draft.brood_halves, draft.food_halves)
    if any(halves is not None and not 0 <= halves <= 2 * nuc.kind.frames for halves in frames):
        return _("Nuc %(number)s has %(frames)s frames; more were counted. Count again.") % words
    return ""


def _check(draft: CheckDraft, on: date, actor: User) -> Check:
    return Check(
        nuc_id=draft.nuc_id,
        on=on,
        queen=draft.queen,
        covered_halves=draft.covered_halves,
        brood_halves=draft.brood_halves,
        own_sealed_brood=draft.own_sealed_brood,
        food_halves=draft.food_halves,
        queen_cells=draft.queen_cells,
        disease_clear=draft.disease_clear,
        note=draft.note,
        recorded_by=actor,
    )


def _move_states(nucs: Sequence[Nuc], actor: User) -> None:
    """Bring each nuc that was given a queen to the state its checks, in order of their days, say."""
    checks = checks_by_nuc(nuc.pk for nuc in nucs)
    wanted = {}
    for nuc in nucs:
        if nuc.queened_on is not None:
            seen = [check for check in of_present_queen(nuc, checks.get(nuc.pk, [])) if check.on >= nuc.queened_on]
            wanted[nuc.pk] = queen_state(check.queen for check in seen)
    moving = [nuc for nuc in nucs if wanted.get(nuc.pk, nuc.state) != nuc.state]
    # The state path knows only single steps, so some go round by a state in between.
    by_detour = [nuc for nuc in moving if (nuc.state, wanted[nuc.pk]) in DETOURS]
    for nuc in by_detour:
        nuc.state = DETOURS[nuc.state, wanted[nuc.pk]]
    write(by_detour, ["state"], actor)
    for nuc in moving:
        nuc.state = wanted[nuc.pk]
    write(moving, ["state"], actor)
