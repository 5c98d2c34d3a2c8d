from datetime import date, datetime

from django.db import transaction
from django.utils.translation import gettext as _

from apiary_ops.business import stamps
from apiary_ops.core.days import spoken_day
from apiary_ops.core.history import sign
from apiary_ops.kernel.refusals import RuleBroken
from apiary_ops.orders import compute
from apiary_ops.orders.models import Line, Order
from apiary_ops.people.models import User

from .locks import lock_line, lock_order


class LineCannotMove(RuleBroken):
    """A state that does not follow from the one the line is in."""


class NothingToCancel(RuleBroken):
    """A line that is cancelled already, or was collected."""


@transaction.atomic
def cancel_line(*, line_id: int, on: date, reason: str, actor: User) -> Line:
    """Cancel what is still outstanding on a line; the deposit asked of the order shrinks with it.

    What was collected stays sold. The reason and the day go into the line's history. Raises NothingToCancel.
    """
    order, line = lock_line(line_id)
    if not line.may_be_cancelled:
        message = _("This line is %(state)s; there is nothing left to cancel.")
        raise NothingToCancel(message % {"state": line.get_state_display()})
    _move(line, Line.State.CANCELLED, actor, reason=f"{spoken_day(on)}: {reason.strip()[:200]}")
    _ask_deposit_again(order, actor)
    stamps.bump(order.season_id, "orders")
    return line


@transaction.atomic
def move_line(*, line_id: int, to_state: str, actor: User | None) -> Line:
    """Move a line along its state path (promise and pickups decide when). Raises LineCannotMove."""
    order, line = lock_line(line_id)
    if to_state not in Line.PATHS[line.state]:
        message = _("A line that is %(state)s cannot become %(to_state)s.")
        raise LineCannotMove(message % {"state": line.get_state_display(), "to_state": Line.State(to_state).label})
    is_lapse = Line.State.LAPSED in (line.state, to_state)
    _move(line, to_state, actor)
    if is_lapse:
        _ask_deposit_again(order, actor)
    stamps.bump(order.season_id, "orders")
    return line


@transaction.atomic
def mark_deposit_complete(*, order_id: int, at: datetime, actor: User | None = None) -> Order:
    """The instant that gives the order its place in every queue; an earlier one already there stands."""
    order = lock_order(order_id)
    if order.deposit_complete_at is None:
        order.deposit_complete_at = at
        sign(order, actor)
        order.save(update_fields=["deposit_complete_at"])
        stamps.bump(order.season_id, "orders")
    return order


@transaction.atomic
def clear_deposit_complete(*, order_id: int, actor: User | None = None) -> Order:
    """The order loses its place, because money went back that the terms still ask for."""
    order = lock_order(order_id)
    if order.deposit_complete_at is not None:
        order.deposit_complete_at = None
        sign(order, actor)
        order.save(update_fields=["deposit_complete_at"])
        stamps.bump(order.season_id, "orders")
    return order


def _move(line: Line, to_state: str, actor: User | None, reason: str = "") -> None:
    line.state = to_state
    sign(line, actor, reason)
    line.save(update_fields=["state"])


def _ask_deposit_again(order: Order, actor: User | None) -> None:
    """Work out the deposit from the lines that still stand; what was collected counts as it did."""
    lines = Line.objects.filter(order=order).order_by("pk")
    standing = [(line.standing, line.price_cents) for line in lines]
    nucs, cents = compute.standing_total(standing)
    per_nuc = order.terms.deposit_cents_per_nuc
    due = compute.deposit_due(cents_per_nuc=per_nuc, nucs=nucs, total_cents=cents)
    if due != order.deposit_due_cents:
        order.deposit_due_cents = due
        sign(order, actor)
        order.save(update_fields=["deposit_due_cents"])
