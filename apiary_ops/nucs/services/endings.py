from collections import defaultdict
from collections.abc import Iterable
from datetime import date

from django.db import transaction
from django.utils.translation import gettext as _

from apiary_ops.books.services import Posting, post_entry
from apiary_ops.business import stamps
from apiary_ops.core.history import sign
from apiary_ops.kernel.ref import Ref
from apiary_ops.kernel.refusals import RuleBroken
from apiary_ops.nucs.models import Nuc
from apiary_ops.nucs.queries import held_yards
from apiary_ops.people.models import User

from .locks import lock_nuc, lock_nucs, refuse_left
from .queens import nuc_ref
from .ready import write

# Where the cost of a nuc goes when it leaves other than to a buyer.
_ENDS = {Nuc.State.LOST: "nuc-losses", Nuc.State.UNITED: "nuc-losses", Nuc.State.KEPT: "nucs-kept"}


class NotAnEnd(RuleBroken):
    pass


class EndedTooEarly(RuleBroken):
    pass


class CauseMissing(RuleBroken):
    pass


@transaction.atomic
def end_nuc(*, nuc_id: int, state: str, on: date, cause: str, actor: User) -> Nuc:
    """A nuc is lost, united with another, or kept as a colony; its cost leaves nucs-in-hand.

    What a returned nuc cost was charged when it was handed over, so nothing is posted for one. Raises NotAnEnd,
    NucHasLeft, EndedTooEarly, CauseMissing.
    """
    nuc = lock_nucs([nuc_id])[0]
    if nuc.state != Nuc.State.RETURNED:
        refuse_left(nuc)
    if state not in _ENDS:
        raise NotAnEnd(_("Choose whether the nuc was lost, united or kept."))
    if on < nuc.batch.made_on:
        raise EndedTooEarly(_("Nuc %(number)s was made up later. Choose a later day.") % {"number": nuc.number})
    if state == Nuc.State.LOST and not cause.strip():
        raise CauseMissing(_("Say what the nuc was lost to, as far as you can tell."))
    cents = nuc.queen_cost_cents if nuc.is_live else 0
    nuc.state = Nuc.State(state)
    nuc.ended_on = on
    nuc.loss_cause = cause.strip()
    sign(nuc, actor)
    nuc.save(update_fields=["state", "ended_on", "loss_cause"])
    if cents:
        batch = str(Ref("batch", str(nuc.batch_id)))
        post_entry(
            source=nuc_ref(nuc),
            purpose=f"nuc-{state}",
            posted_on=on,
            season_id=nuc.season_id,
            memo=_("Nuc %(number)s %(state)s") % {"number": nuc.number, "state": nuc.get_state_display()},
            postings=[Posting(_ENDS[nuc.state], cents, batch), Posting("nucs-in-hand", -cents, batch)],
            actor=actor,
        )
    stamps.bump(nuc.season_id, "nucs")
    return nuc


class NucNotReady(RuleBroken):
    pass


class NucOnHold(RuleBroken):
    pass


@transaction.atomic
def hand_over_nucs(*, nuc_ids: Iterable[int], on: date, source: str, actor: User) -> int:
    """Nucs leave with a buyer: debit cost-of-nucs, credit nucs-in-hand, once for a `source` ("hand-over:12").

    Returns what they cost, in cents. Raises NucNotReady, NucOnHold, NoSuchNuc or, for a source that has posted,
    AlreadyPosted; then none of them leaves.
    """
    nucs = lock_nucs(nuc_ids)
    held = held_yards(on)
    for nuc in nucs:
        _refuse_hand_over(nuc, on, held)
    by_batch: dict[int, int] = defaultdict(int)
    for nuc in nucs:
        by_batch[nuc.batch_id] += nuc.queen_cost_cents
        nuc.state = Nuc.State.HANDED_OVER
        nuc.ended_on = on
    write(nucs, ["state", "ended_on"], actor)
    cents = sum(by_batch.values())
    if cents:
        _post_hand_over(nucs, by_batch, on, source, actor)
    for season_id in sorted({nuc.season_id for nuc in nucs}):
        stamps.bump(season_id, "nucs")
    return cents


def _refuse_hand_over(nuc: Nuc, on: date, held: dict[int, str]) -> None:
    reason = nuc.hold_reason or held.get(nuc.yard_id, "")
    if reason:
        message = _("Nuc %(number)s is on hold: %(reason)s. Give another one.")
        raise NucOnHold(message % {"number": nuc.number, "reason": reason})
    if nuc.state != Nuc.State.LAYING:
        message = _("Nuc %(number)s is %(state)s and cannot be handed over. Give another one.")
        raise NucNotReady(message % {"number": nuc.number, "state": nuc.get_state_display()})
    if nuc.ready_on is None or nuc.ready_on > on:
        message = _("Nuc %(number)s does not meet its sale standard yet. Give another one, or check it again.")
        raise NucNotReady(message % {"number": nuc.number})


def _post_hand_over(nucs: list[Nuc], by_batch: dict[int, int], on: date, source: str, actor: User) -> None:
    postings = []
    for batch_id, cents in sorted(by_batch.items()):
        batch = str(Ref("batch", str(batch_id)))
        postings += [Posting("cost-of-nucs", cents, batch), Posting("nucs-in-hand", -cents, batch)]
    numbers = ", ".join(str(nuc.number) for nuc in nucs)
    post_entry(
        source=source,
        purpose="nucs-handed-over",
        posted_on=on,
        season_id=nucs[0].season_id,
        memo=(_("Nucs handed over: %(numbers)s") % {"numbers": numbers})[:200],
        postings=postings,
        actor=actor,
    )


class AlreadyHeld(RuleBroken):
    pass


class NotHeld(RuleBroken):
    pass


@transaction.atomic
def hold_nuc(*, nuc_id: int, reason: str, actor: User) -> Nuc:
    """Nothing is handed over of a nuc on hold. Raises NucHasLeft, AlreadyHeld, CauseMissing."""
    nuc = lock_nuc(nuc_id)
    if nuc.hold_reason:
        message = _("Nuc %(number)s is already on hold: %(reason)s.")
        raise AlreadyHeld(message % {"number": nuc.number, "reason": nuc.hold_reason})
    if not reason.strip():
        raise CauseMissing(_("Say why the nuc is held."))
    return _set_hold(nuc, reason.strip(), actor)


@transaction.atomic
def release_nuc(*, nuc_id: int, actor: User) -> Nuc:
    """The nuc is free again. Raises NucHasLeft, NotHeld."""
    nuc = lock_nuc(nuc_id)
    if not nuc.hold_reason:
        raise NotHeld(_("Nuc %(number)s is not on hold.") % {"number": nuc.number})
    return _set_hold(nuc, "", actor)


def _set_hold(nuc: Nuc, reason: str, actor: User) -> Nuc:
    nuc.hold_reason = reason
    sign(nuc, actor)
    nuc.save(update_fields=["hold_reason"])
    stamps.bump(nuc.season_id, "nucs")
    return nuc
