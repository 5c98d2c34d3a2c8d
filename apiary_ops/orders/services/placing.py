from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from typing import Any
from uuid import UUID

from django.db import IntegrityError, transaction
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from apiary_ops.business import queries as business_queries
from apiary_ops.business import stamps
from apiary_ops.business.models import Season, Terms
from apiary_ops.core import once
from apiary_ops.core.days import spoken_day
from apiary_ops.core.history import sign
from apiary_ops.core.versions import save_changes
from apiary_ops.kernel.refusals import RuleBroken
from apiary_ops.nucs.models import NucKind
from apiary_ops.orders import compute, queries
from apiary_ops.orders.models import Buyer, Line, Order, Round
from apiary_ops.people.models import User

from .locks import lock_order

MOST_NUCS = 2000
MOST_TRIES = 50


class NothingOrdered(RuleBroken):
    """An order without lines."""


class WrongNumberOfNucs(RuleBroken):
    """Fewer than one nuc or more than a line holds."""


class NoPrice(RuleBroken):
    """Nothing says what the kind costs this buyer on this day."""


class WrongRound(RuleBroken):
    """A round of another season."""


class RoundIsOver(RuleBroken):
    """A round whose last day has passed."""


class SeasonIsClosed(RuleBroken):
    """A season whose books are closed."""


@dataclass(frozen=True, slots=True)
class LineDraft:
    """What one line asks for. `price_cents` set by hand goes before the price list."""

    kind_id: int
    quantity: int
    round_id: int
    substitute_ids: Sequence[int] = ()
    part_loads: bool = False
    price_cents: int | None = None


@transaction.atomic
def place_order(
    *,
    season_id: int,
    buyer_id: int,
    placed_on: date,
    lines: Sequence[LineDraft],
    pickup_yard_id: int | None = None,
    notes: str = "",
    actor: User,
    once_key: UUID | None = None,
) -> Order:
    """Write down what a buyer asks for, under the terms and prices of `placed_on`; every line begins as asked.

    Raises NothingOrdered, WrongNumberOfNucs, WrongRound, RoundIsOver, NoPrice, SeasonIsClosed, NothingSetUp
    (no terms) and AlreadyDone.
    """
    claimed = once.claim(once_key, "orders:place")
    season = Season.objects.get(pk=season_id)
    buyer = Buyer.objects.get(pk=buyer_id)
    _check(season, placed_on, lines)
    priced = _priced(season_id, buyer, placed_on, lines)
    terms = business_queries.terms_on(placed_on)
    order = Order(
        season=season,
        buyer=buyer,
        placed_on=placed_on,
        terms=terms,
        deposit_due_cents=_deposit_due(terms, priced),
        deposit_due_on=placed_on + timedelta(days=terms.due_days),
        pickup_yard_id=pickup_yard_id,
        notes=notes.strip(),
        taken_by=actor,
    )
    if not order.deposit_due_cents:
        # Terms that ask nothing are met at once: the order queues from the start of its day.
        order.deposit_complete_at = timezone.make_aware(datetime.combine(placed_on, time.min))
    _number_and_save(order, season, actor)
    for line, draft in zip(priced, lines, strict=True):
        line.order = order
        sign(line, actor)
        line.save(force_insert=True)
        line.substitutes.set([kind_id for kind_id in draft.substitute_ids if kind_id != draft.kind_id])
    once.settle(claimed, reverse("orders:order", args=[order.number]))
    stamps.bump(season_id, "orders")
    return order


@transaction.atomic
def edit_order(*, order_id: int, version: int, changes: Mapping[str, Any], actor: User) -> Order:
    """Change where an order is collected and its notes. Raises StaleRecord."""
    order = lock_order(order_id)
    sign(order, actor)
    if save_changes(order, version, dict(changes)):
        stamps.bump(order.season_id, "orders")
    return order


def _check(season: Season, placed_on: date, lines: Sequence[LineDraft]) -> None:
    if not season.is_open:
        raise SeasonIsClosed(_("The season %(season)s is closed. Choose an open season.") % {"season": season})
    if not lines:
        raise NothingOrdered(_("Nothing is ordered yet. Say how many nucs of which kind."))
    if any(not 1 <= line.quantity <= MOST_NUCS for line in lines):
        raise WrongNumberOfNucs(_("Ask for 1 to 2,000 nucs."))
    rounds = Round.objects.in_bulk({line.round_id for line in lines})
    for line in lines:
        round_ = rounds.get(line.round_id)
        if round_ is None or round_.season_id != season.pk:
            message = _("That round does not belong to the season %(season)s. Choose one of its rounds.")
            raise WrongRound(message % {"season": season})
        if round_.ends_before <= placed_on:
            message = _("The %(round)s ended before %(day)s. Choose a later round.")
            raise RoundIsOver(message % {"round": round_, "day": spoken_day(round_.ends_before)})


def _priced(season_id: int, buyer: Buyer, day: date, drafts: Sequence[LineDraft]) -> list[Line]:
    """Unsaved lines with their prices and tax categories."""
    kinds = NucKind.objects.in_bulk({draft.kind_id for draft in drafts})
    lines = []
    for draft in drafts:
        price = queries.price_on(season_id=season_id, kind_id=draft.kind_id, tier=buyer.tier, day=day)
        if price is None:
            message = _("%(kind)s has no price yet. Set one under Rounds and prices.")
            raise NoPrice(message % {"kind": kinds[draft.kind_id]})
        lines.append(
            Line(
                kind_id=draft.kind_id,
                round_id=draft.round_id,
                quantity=draft.quantity,
                price_cents=price.cents if draft.price_cents is None else draft.price_cents,
                tax_category_id=price.tax_category_id,
                part_loads=draft.part_loads,
            )
        )
    return lines


def _deposit_due(terms: Terms, lines: Sequence[Line]) -> int:
    nucs, cents = compute.standing_total([(line.quantity, line.price_cents) for line in lines])
    return compute.deposit_due(cents_per_nuc=terms.deposit_cents_per_nuc, nucs=nucs, total_cents=cents)


def _number_and_save(order: Order, season: Season, actor: User) -> None:
    """The next free number; a number another clerk takes meanwhile is passed over. Numbers may have gaps."""
    sign(order, actor)
    last = Order.objects.filter(season=season).order_by("-pk").values_list("number", flat=True).first()
    serial = compute.serial_of(last) if last else 0
    for _attempt in range(MOST_TRIES):
        serial += 1
        order.number = compute.order_number(season.year, serial)
        try:
            with transaction.atomic():
                order.save(force_insert=True)
            return
        except IntegrityError:
            if not Order.objects.filter(number=order.number).exists():
                raise
    raise RuntimeError(f"No free order number after {order.number}.")
