from datetime import date, datetime
from uuid import UUID

from django.db import transaction
from django.urls import reverse
from django.utils.translation import gettext as _

from apiary_ops.billing import queries
from apiary_ops.billing.models import Deposit, DepositMove, Receipt
from apiary_ops.books import services as books
from apiary_ops.core import once
from apiary_ops.core.days import spoken_day
from apiary_ops.kernel.ref import Ref
from apiary_ops.kernel.refusals import RuleBroken
from apiary_ops.orders import queries as order_queries
from apiary_ops.orders import services as order_services
from apiary_ops.orders.models import Order
from apiary_ops.people.models import User

from .money import ACCOUNTS, check_amount, in_words, lock_deposit, order_subject, write_receipt

HELD = "deposits-held"


class NothingStands(RuleBroken):
    """An order on which nothing is left to deliver takes no deposit."""


class DepositTooLarge(RuleBroken):
    """More than the nucs still to come cost."""


class MoreThanHeld(RuleBroken):
    """More than is left of the deposit."""


class NotByTheTerms(RuleBroken):
    """The terms give the deposit back on this day."""


class DepositStillAsked(RuleBroken):
    """Part of the deposit holds the place of nucs that still stand."""


@transaction.atomic
def take_deposit(
    *,
    order_id: int,
    cents: int,
    received_on: date,
    received_at: datetime,
    method: str,
    actor: User,
    once_key: UUID | None = None,
) -> Receipt:
    """Money paid ahead for an order, in one part or several: a liability until nucs are handed over.

    The part that completes what the terms ask gives the order its place in the queue, as of `received_at`.
    Raises NoAmount, NothingStands, DepositTooLarge, AlreadyDone and what the books refuse.
    """
    claimed = once.claim(once_key, "billing:deposit")
    check_amount(cents)
    order = order_services.lock_order(order_id)
    deposit = lock_deposit(order)
    _refuse_too_large(order, deposit, cents, received_on)
    source = _next_source(order, deposit)
    entry = books.post_entry(
        source=source,
        purpose="deposit taken",
        posted_on=received_on,
        season_id=order.season_id,
        memo=_("Deposit for order %(number)s") % {"number": order.number},
        postings=[
            books.Posting(ACCOUNTS[method], cents),
            books.Posting(HELD, -cents, subject=order_subject(order)),
        ],
        actor=actor,
    )
    receipt = write_receipt(
        order=order,
        entry=entry,
        received_on=received_on,
        method=method,
        cents=cents,
        purpose="deposit",
        actor=actor,
    )
    DepositMove.objects.create(
        deposit=deposit,
        kind=DepositMove.Kind.TAKEN,
        cents=cents,
        on=received_on,
        source=source,
        entry=entry,
        recorded_by=actor,
    )
    settle_place(order_id=order.pk, at=received_at, actor=actor)
    once.settle(claimed, reverse("billing:receipt", args=[receipt.number]))
    return receipt


@transaction.atomic
def refund_deposit(
    *, order_id: int, cents: int, on: date, method: str, reason: str, actor: User, once_key: UUID | None = None
) -> DepositMove:
    """Give back some or all of a deposit; no revenue is touched.

    When less is left than the terms ask for what still stands, the order loses its place in the queue.
    Raises NoAmount, MoreThanHeld, AlreadyDone and what the books refuse.
    """
    claimed = once.claim(once_key, "billing:refund")
    order, deposit = _locked_with(order_id, cents)
    move = _move_out(
        order,
        deposit,
        DepositMove.Kind.REFUNDED,
        cents,
        on,
        reason,
        memo=_("Deposit given back, order %(number)s") % {"number": order.number},
        to=books.Posting(ACCOUNTS[method], -cents),
        actor=actor,
    )
    if not queries.deposit_covers(order):
        order_services.clear_deposit_complete(order_id=order.pk, actor=actor)
    once.settle(claimed, reverse("orders:order", args=[order.number]))
    return move


@transaction.atomic
def keep_deposit(
    *, order_id: int, cents: int, on: date, reason: str, actor: User, once_key: UUID | None = None
) -> DepositMove:
    """Keep some or all of a deposit by the order's terms: it becomes other income on that day.

    Only after the last day of refunds, and only what no standing nuc needs. Raises NoAmount, MoreThanHeld,
    NotByTheTerms, DepositStillAsked, AlreadyDone and what the books refuse.
    """
    claimed = once.claim(once_key, "billing:keep")
    order, deposit = _locked_with(order_id, cents)
    _refuse_keeping(order, deposit, cents, on)
    move = _move_out(
        order,
        deposit,
        DepositMove.Kind.KEPT,
        cents,
        on,
        reason,
        memo=_("Deposit kept by the terms, order %(number)s") % {"number": order.number},
        to=books.Posting("deposits-kept", -cents),
        actor=actor,
    )
    once.settle(claimed, reverse("orders:order", args=[order.number]))
    return move


@transaction.atomic
def settle_place(*, order_id: int, at: datetime, actor: User | None = None) -> None:
    """Give an order its place in the queue, as of `at`, once what is held covers what its terms ask now."""
    order = order_services.lock_order(order_id)
    stands = any(queries.left_to_deliver(order).values())
    if stands and order.deposit_complete_at is None and queries.deposit_covers(order):
        order_services.mark_deposit_complete(order_id=order.pk, at=at, actor=actor)


def _locked_with(order_id: int, cents: int) -> tuple[Order, Deposit]:
    """Order and deposit under lock, once the deposit is known to hold `cents`."""
    check_amount(cents)
    order = order_services.lock_order(order_id)
    deposit = lock_deposit(order)
    if cents > deposit.held_cents:
        held = in_words(deposit.held_cents)
        raise MoreThanHeld(_("Only %(held)s of this deposit is still held. Enter that or less.") % {"held": held})
    return order, deposit


def _refuse_too_large(order: Order, deposit: Deposit, cents: int, on: date) -> None:
    room = queries.still_to_come(order, on=on) - deposit.held_cents
    if room <= 0 and not any(queries.left_to_deliver(order).values()):
        raise NothingStands(
            _("Nothing on order %(number)s is still to come, so it takes no deposit.") % {"number": order.number}
        )
    if cents > room:
        raise DepositTooLarge(
            _("The nucs still to come on order %(number)s leave %(room)s to pay. Enter that or less.")
            % {"number": order.number, "room": in_words(max(room, 0))}
        )


def _refuse_keeping(order: Order, deposit: Deposit, cents: int, on: date) -> None:
    until = order_queries.refund_until(order)
    if on <= until:
        day = spoken_day(until)
        raise NotByTheTerms(_("The terms of this order give the deposit back until %(day)s. Refund it.") % {"day": day})
    spare = deposit.held_cents - queries.asked_for_what_is_left(order)
    if cents > spare:
        raise DepositStillAsked(
            _("Only %(spare)s is not needed for nucs that still stand. Cancel their line first, or keep less.")
            % {"spare": in_words(max(spare, 0))}
        )


def _move_out(
    order: Order,
    deposit: Deposit,
    kind: str,
    cents: int,
    on: date,
    reason: str,
    *,
    memo: str,
    to: books.Posting,
    actor: User,
) -> DepositMove:
    source = _next_source(order, deposit)
    entry = books.post_entry(
        source=source,
        purpose=f"deposit {kind}",
        posted_on=on,
        season_id=order.season_id,
        memo=memo,
        postings=[books.Posting(HELD, cents, subject=order_subject(order)), to],
        actor=actor,
    )
    return DepositMove.objects.create(
        deposit=deposit,
        kind=kind,
        cents=cents,
        on=on,
        source=source,
        reason=reason.strip()[:200],
        entry=entry,
        recorded_by=actor,
    )


def _next_source(order: Order, deposit: Deposit) -> str:
    """Names the next move of a locked deposit: "deposit:2027-0042/3"."""
    return str(Ref("deposit", f"{order.number}/{deposit.moves.count() + 1}"))
