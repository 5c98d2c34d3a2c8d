from datetime import date

from django.db import transaction
from django.utils.translation import gettext as _

from apiary_ops.business import stamps
from apiary_ops.core.history import sign
from apiary_ops.kernel.ref import Ref
from apiary_ops.kernel.refusals import RuleBroken
from apiary_ops.kernel.shares import shares
from apiary_ops.nucs.models import Batch, Nuc
from apiary_ops.people.models import User
from apiary_ops.queens.queries import moves_of
from apiary_ops.queens.services import take_queens

from .locks import lock_batch, lock_nuc
from .ready import write


class QueenTooEarly(RuleBroken):
    pass


class QueensAlreadyIn(RuleBroken):
    pass


class NucHasAQueen(RuleBroken):
    pass


@transaction.atomic
def introduce_queens(*, batch_id: int, lot_id: int, queen_in_on: date, actor: User) -> Batch:
    """Queens of one lot go into every nuc of a batch that still waits for its first one.

    Raises QueensAlreadyIn, QueenTooEarly, and what taking queens refuses.
    """
    batch = lock_batch(batch_id, "queens")
    if batch.queen_in_on:
        raise QueensAlreadyIn(_("This batch has its queens. Requeen single nucs whose queen failed."))
    put_queens_in(batch, lot_id, queen_in_on, actor)
    stamps.bump(batch.season_id, "nucs")
    return batch


def put_queens_in(batch: Batch, lot_id: int, queen_in_on: date, actor: User) -> None:
    """The act itself, for a batch that is locked; each nuc takes its share of the cost, to the cent."""
    if queen_in_on < batch.made_on:
        raise QueenTooEarly(_("Queens go in on the day of make-up or later. Choose a later day."))
    nucs = list(Nuc.objects.select_for_update(no_key=True).filter(batch=batch, state=Nuc.State.MADE).order_by("pk"))
    if not nucs:
        raise QueensAlreadyIn(_("No nuc of this batch waits for a queen."))
    source = str(Ref("batch", str(batch.pk)))
    move = take_queens(lot_id=lot_id, queens=len(nucs), on=queen_in_on, source=source, actor=actor)
    for nuc, cents in zip(nucs, shares(move.cost_cents, [1] * len(nucs)), strict=True):
        nuc.state = Nuc.State.QUEENED
        nuc.queened_on = queen_in_on
        nuc.queen_cost_cents = cents
    write(nucs, ["state", "queened_on", "queen_cost_cents"], actor)
    batch.lot_id = lot_id
    batch.queen_in_on = queen_in_on
    batch.save(update_fields=["lot", "queen_in_on"])


@transaction.atomic
def requeen(*, nuc_id: int, lot_id: int, on: date, actor: User) -> Nuc:
    """A spare queen goes into one nuc whose queen failed, or that never had one; her cost comes on top.

    Raises NucHasLeft, NucHasAQueen, QueenTooEarly, and what taking queens refuses.
    """
    nuc = lock_nuc(nuc_id, "queens")
    if nuc.state not in (Nuc.State.FAILED, Nuc.State.MADE):
        message = _("Nuc %(number)s has a queen as far as is known. Record first that she failed.")
        raise NucHasAQueen(message % {"number": nuc.number})
    if on < (nuc.queened_on or nuc.batch.made_on):
        raise QueenTooEarly(_("A new queen goes in after the last one and after make-up. Choose a later day."))
    move = take_queens(
        lot_id=lot_id,
        queens=1,
        on=on,
        source=_next_source(nuc),
        subject=str(Ref("batch", str(nuc.batch_id))),
        actor=actor,
    )
    nuc.state = Nuc.State.QUEENED
    nuc.queened_on = on
    nuc.ready_on = None
    nuc.queen_cost_cents += move.cost_cents
    sign(nuc, actor)
    nuc.save(update_fields=["state", "queened_on", "ready_on", "queen_cost_cents"])
    stamps.bump(nuc.season_id, "nucs")
    return nuc


def nuc_ref(nuc: Nuc) -> str:
    """How other apps and the books name a nuc: "nuc:2027-031"."""
    return str(Ref("nuc", f"{nuc.season.year}-{nuc.number:03d}"))


def _next_source(nuc: Nuc) -> str:
    source = nuc_ref(nuc)
    before = moves_of(source).count()
    return f"{source}-{before + 1}" if before else source
