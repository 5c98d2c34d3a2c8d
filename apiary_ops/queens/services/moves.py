from datetime import date
from uuid import UUID

from django.db import transaction
from django.urls import reverse
from django.utils.translation import gettext as _

from apiary_ops.books.models import Entry
from apiary_ops.books.services import Posting, post_entry
from apiary_ops.business import stamps
from apiary_ops.core import once
from apiary_ops.kernel.ref import Ref
from apiary_ops.kernel.refusals import RuleBroken
from apiary_ops.people.models import User
from apiary_ops.queens.compute import cost_of_queens
from apiary_ops.queens.models import Lot, QueenMove


class QueensNotThere(RuleBroken):
    pass


class NothingTaken(RuleBroken):
    pass


class NotLandedYet(RuleBroken):
    pass


class AlreadyTaken(RuleBroken):
    pass


@transaction.atomic
def take_queens(*, lot_id: int, queens: int, on: date, source: str, actor: User, subject: str = "") -> QueenMove:
    """Queens leave the bank for nucs, at landed cost: debit nucs-in-hand, credit queens-on-hand.

    `source` is what takes them ("batch:12", "nuc:2027-031") and takes from a lot once; `subject` is whose part of
    nucs-in-hand they become, the source's unless given. Raises QueensNotThere, NothingTaken, NotLandedYet,
    AlreadyTaken.
    """
    lot = _locked(lot_id, queens, on)
    memo = _("Queens of lot %(code)s into nucs") % {"code": lot.code}
    return _move(lot, QueenMove.Kind.INTRODUCED, queens, on, source, actor, "nucs-in-hand", subject or source, memo)


@transaction.atomic
def record_dead_queens(
    *, lot_id: int, queens: int, on: date, actor: User, source: str = "", once_key: UUID | None = None
) -> QueenMove:
    """Queens found dead in the bank: their landed cost is a loss of the period, since others may already be in nucs.

    Raises what `take_queens` raises, and AlreadyDone for a form sent twice.
    """
    claimed = once.claim(once_key, "queens dead in the bank")
    lot = _locked(lot_id, queens, on)
    source = source or str(Ref("bank-count", f"{lot.code}-{lot.moves.count() + 1}"))
    memo = _("Queens of lot %(code)s dead in the bank") % {"code": lot.code}
    subject = str(Ref("lot", lot.code))
    move = _move(lot, QueenMove.Kind.DEAD, queens, on, source, actor, "queen-losses", subject, memo)
    once.settle(claimed, reverse("queens:lot", args=[lot.code]))
    return move


def _locked(lot_id: int, queens: int, on: date) -> Lot:
    """The lot, locked after its season's stamp, if it has that many live queens on that day."""
    stamps.lock(Lot.objects.values_list("season_id", flat=True).get(pk=lot_id), ["queens"])
    lot = Lot.objects.select_for_update(no_key=True).get(pk=lot_id)
    if queens < 1:
        raise NothingTaken(_("Enter at least one queen."))
    if on < lot.received_on:
        raise NotLandedYet(_("Lot %(code)s had not landed by that day. Choose a later one.") % {"code": lot.code})
    if queens > lot.banked:
        message = _(
            "Lot %(code)s has %(left)s live queens left and %(asked)s were asked for. Take fewer, or another lot."
        )
        raise QueensNotThere(message % {"code": lot.code, "left": lot.banked, "asked": queens})
    return lot


def _move(
    lot: Lot,
    kind: QueenMove.Kind,
    queens: int,
    on: date,
    source: str,
    actor: User,
    account: str,
    subject: str,
    memo: str,
) -> QueenMove:
    if lot.moves.filter(source=source, kind=kind).exists():
        message = _("Queens of lot %(code)s were already taken for this; nothing was taken twice.")
        raise AlreadyTaken(message % {"code": lot.code})
    cents = cost_of_queens(lot.landed_cents, lot.alive_on_arrival, taken=lot.gone, queens=queens)
    move = QueenMove.objects.create(
        lot=lot,
        kind=kind,
        queens=queens,
        on=on,
        cost_cents=cents,
        source=source,
        entry=_posted(lot, kind, on, source, cents, account, subject, memo, actor),
        recorded_by=actor,
    )
    stamps.bump(lot.season_id, "queens")
    return move


def _posted(
    lot: Lot,
    kind: QueenMove.Kind,
    on: date,
    source: str,
    cents: int,
    account: str,
    subject: str,
    memo: str,
    actor: User,
) -> Entry | None:
    """The entry of a move; none for queens that cost less than a cent each."""
    if not cents:
        return None
    return post_entry(
        source=source,
        purpose=f"{kind}-{lot.code}",
        posted_on=on,
        season_id=lot.season_id,
        memo=memo,
        postings=[Posting(account, cents, subject), Posting("queens-on-hand", -cents, str(Ref("lot", lot.code)))],
        actor=actor,
    )
