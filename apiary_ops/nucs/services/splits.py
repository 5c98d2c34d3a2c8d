from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from uuid import UUID

from django.db import IntegrityError, transaction
from django.db.models import Max
from django.urls import reverse
from django.utils.translation import gettext as _
from simple_history.utils import bulk_create_with_history

from apiary_ops.business import stamps
from apiary_ops.business.models import Season
from apiary_ops.core import clock, once
from apiary_ops.kernel.refusals import RuleBroken
from apiary_ops.nucs.compute import Frames, frames_text, needed, shortage
from apiary_ops.nucs.models import Batch, Donation, Nuc, NucKind, SplitDay
from apiary_ops.nucs.queries import frames_left, held_colonies, held_yards, recipe_of
from apiary_ops.people.models import User
from apiary_ops.yards.models import Colony, Yard

from .queens import put_queens_in


class OutsideSeason(RuleBroken):
    pass


class SplitDayThere(RuleBroken):
    pass


@transaction.atomic
def plan_split_day(*, season_id: int, yard_id: int, on: date, actor: User) -> SplitDay:
    """A day on which nucs will be made in a yard. Raises OutsideSeason, SplitDayThere."""
    season = Season.objects.get(pk=season_id)
    if on not in season:
        message = _("This day lies outside the season %(season)s. Choose a day in it, or another season.")
        raise OutsideSeason(message % {"season": season})
    try:
        with transaction.atomic():
            day = SplitDay.objects.create(season=season, yard_id=yard_id, on=on, recorded_by=actor)
    except IntegrityError:
        raise SplitDayThere(_("This yard already has a split day on that day. Open that one.")) from None
    stamps.bump(season_id, "nucs")
    return day


@dataclass(frozen=True, slots=True)
class DonationDraft:
    """Frames of bees and of mostly sealed brood that one colony really gave."""

    colony_id: int
    bees_frames: Decimal
    brood_frames: Decimal


class NoNucsAsked(RuleBroken):
    pass


class MadeBeforeSplitDay(RuleBroken):
    pass


class WhichLot(RuleBroken):
    pass


class YardOnHold(RuleBroken):
    pass


class DonorCannotGive(RuleBroken):
    pass


class DonorsGaveTooLittle(RuleBroken):
    pass


@transaction.atomic
def make_batch(
    *,
    split_day_id: int,
    kind_id: int,
    stands_at_id: int,
    lot_id: int | None,
    size: int,
    made_on: date,
    queen_in_on: date | None,
    donations: Sequence[DonationDraft],
    actor: User,
    once_key: UUID | None = None,
) -> Batch:
    """Make `size` numbered nucs of a kind from what donors gave; with a lot and a day their queens go in too.

    A colony gives once a split day; frames that an earlier batch of the day left over count for this one. Raises
    NoNucsAsked, MadeBeforeSplitDay, WhichLot, YardOnHold, DonorCannotGive, DonorsGaveTooLittle, AlreadyDone, and
    what taking queens refuses; nothing is written then.
    """
    claimed = once.claim(once_key, "batch made")
    stamps.lock(SplitDay.objects.values_list("season_id", flat=True).get(pk=split_day_id), ("nucs", "queens"))
    rows = SplitDay.objects.select_for_update(no_key=True, of=("self",)).select_related("season", "yard")
    day = rows.get(pk=split_day_id)
    kind = NucKind.objects.get(pk=kind_id)
    stands_at = Yard.objects.get(pk=stands_at_id)
    _refuse_impossible(day, size, made_on, lot_id, queen_in_on)
    _refuse_held(made_on, day.yard, stands_at)
    _take_frames(day, kind, size, donations)
    batch = Batch.objects.create(
        season=day.season,
        split_day=day,
        kind=kind,
        stands_at=stands_at,
        lot_id=lot_id,
        size=size,
        made_on=made_on,
    )
    _number_nucs(batch, actor)
    if lot_id and queen_in_on:
        put_queens_in(batch, lot_id, queen_in_on, actor)
    if day.done_on is None:
        day.done_on = made_on
        day.save(update_fields=["done_on"])
    stamps.bump(day.season_id, "nucs")
    once.settle(claimed, reverse("nucs:batch", args=[batch.pk]))
    batch.refresh_from_db()
    return batch


def _refuse_impossible(day: SplitDay, size: int, made_on: date, lot_id: int | None, queen_in_on: date | None) -> None:
    if not 1 <= size <= 500:
        raise NoNucsAsked(_("Make from 1 to 500 nucs in a batch."))
    if made_on < day.on:
        raise MadeBeforeSplitDay(_("Nucs cannot be made up before the split day. Choose that day or a later one."))
    if queen_in_on and not lot_id:
        raise WhichLot(_("Say which lot the queens come from, or leave the day they went in empty."))


def _refuse_held(on: date, *yards: Yard) -> None:
    held = held_yards(on)
    for yard in yards:
        if yard.pk in held:
            message = _("%(yard)s is on hold: %(reason)s. Nothing moves there until the hold ends; ask the inspector.")
            raise YardOnHold(message % {"yard": yard.name, "reason": held[yard.pk]})


def _take_frames(day: SplitDay, kind: NucKind, size: int, drafts: Sequence[DonationDraft]) -> None:
    """Write what the donors gave, if they may give and it covers the batch."""
    given = [draft for draft in drafts if draft.bees_frames or draft.brood_frames]
    colonies = {colony.pk: colony for colony in Colony.objects.filter(pk__in=[draft.colony_id for draft in given])}
    gave = set(Donation.objects.filter(split_day=day).values_list("colony_id", flat=True))
    held = held_colonies(day.on)
    for draft in given:
        trouble = _trouble(day, colonies.get(draft.colony_id), draft, gave, held)
        if trouble:
            raise DonorCannotGive(trouble)
        gave.add(draft.colony_id)
    frames = [Frames(draft.bees_frames, draft.brood_frames) for draft in given]
    lacking = shortage([frames_left(day.pk), *frames], needed(recipe_of(kind), size))
    if lacking:
        message = _("The donors gave too little for %(size)s nucs: %(lacking)s short. Add donors, or make fewer.")
        raise DonorsGaveTooLittle(message % {"size": size, "lacking": _short_words(lacking)})
    Donation.objects.bulk_create(
        Donation(
            split_day=day,
            colony_id=draft.colony_id,
            bees_frames=draft.bees_frames,
            brood_frames=draft.brood_frames,
        )
        for draft in given
    )


def _short_words(lacking: Frames) -> str:
    words = {"bees": frames_text(lacking.bees), "brood": frames_text(lacking.brood)}
    if not lacking.brood:
        return _("%(bees)s frames of bees") % words
    if not lacking.bees:
        return _("%(brood)s frames of brood") % words
    return _("%(bees)s frames of bees and %(brood)s of brood") % words


def _trouble(day: SplitDay, colony: Colony | None, draft: DonationDraft, gave: set[int], held: dict[int, str]) -> str:
    """Why a colony cannot give this, or nothing."""
    if colony is None or colony.yard_id != day.yard_id:
        return _("A donor stands in another yard. Choose colonies of the split day's own yard.")
    words = {"tag": colony.tag, "state": colony.get_state_display(), "purpose": colony.get_purpose_display()}
    if colony.state != Colony.State.LIVE:
        return _("Colony %(tag)s is %(state)s and cannot give frames. Take it off the list.") % words
    if colony.pk in held:
        message = _("Colony %(tag)s is on hold: %(reason)s. Take nothing from it until the hold ends.")
        return message % {**words, "reason": held[colony.pk]}
    if not colony.counts_for_nucs_on(day.on):
        return _("Colony %(tag)s is kept for %(purpose)s. Change what it is kept for, or take nothing from it.") % words
    if colony.pk in gave:
        return _("Colony %(tag)s already gave on this split day. Record all it gave at once.") % words
    if not (0 <= draft.bees_frames <= 20 and 0 <= draft.brood_frames <= 20):
        return _("Colony %(tag)s can give at most 20 frames of bees and 20 of brood. Count again.") % words
    return ""


def _number_nucs(batch: Batch, actor: User) -> None:
    # Numbers need not be gapless, but no two are alike: the season's stamp is locked while they are given.
    last = Nuc.objects.filter(season_id=batch.season_id).aggregate(last=Max("number"))["last"] or 0
    nucs = [
        Nuc(
            season_id=batch.season_id,
            number=number,
            batch=batch,
            kind_id=batch.kind_id,
            yard_id=batch.stands_at_id,
        )
        for number in range(last + 1, last + batch.size + 1)
    ]
    bulk_create_with_history(nucs, Nuc, batch_size=500, default_user=actor, default_date=clock.now())
