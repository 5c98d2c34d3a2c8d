from datetime import date
from typing import Any

from django.db import transaction
from django.utils.translation import gettext as _

from apiary_ops.business import stamps
from apiary_ops.core.history import sign
from apiary_ops.core.versions import save_changes
from apiary_ops.costs.models import Supplier
from apiary_ops.kernel.refusals import RuleBroken
from apiary_ops.kernel.weeks import Week
from apiary_ops.people.models import User
from apiary_ops.queens.models import QueenOrder


class NotABreeder(RuleBroken):
    pass


class NoQueensAsked(RuleBroken):
    pass


class ShipsTooEarly(RuleBroken):
    pass


@transaction.atomic
def order_queens(
    *,
    season_id: int,
    supplier_id: int,
    queens: int,
    unit_price_cents: int,
    ship_week: date,
    ordered_on: date,
    cancel_by: date | None = None,
    actor: User | None,
) -> QueenOrder:
    """Ask a breeder for queens at a price each, in book currency, for the week that holds `ship_week`.

    Raises NotABreeder, NoQueensAsked or ShipsTooEarly.
    """
    supplier = Supplier.objects.get(pk=supplier_id)
    if not supplier.sells_queens:
        message = _("%(name)s is not marked as breeding queens. Mark it under Suppliers, or choose a breeder.")
        raise NotABreeder(message % {"name": supplier.name})
    order = QueenOrder(
        season_id=season_id,
        supplier=supplier,
        queens=queens,
        unit_price_cents=unit_price_cents,
        ship_week=Week.of(ship_week).monday,
        ordered_on=ordered_on,
        cancel_by=cancel_by,
    )
    _refuse_impossible(order)
    sign(order, actor)
    order.save()
    stamps.bump(season_id, "queens")
    return order


class FewerThanReceived(RuleBroken):
    pass


@transaction.atomic
def edit_queen_order(*, order_id: int, version: int, changes: dict[str, Any], actor: User) -> QueenOrder:
    """Change number, price, week or last cancel date; queens that came keep the price they came at.

    Raises StaleRecord, OrderWasCancelled, FewerThanReceived, NoQueensAsked or ShipsTooEarly.
    """
    order = locked(order_id)
    changes = {**changes, "ship_week": Week.of(changes.get("ship_week", order.ship_week)).monday}
    after = QueenOrder(**{name: getattr(order, name) for name in ("queens", "ship_week", "ordered_on")} | changes)
    _refuse_impossible(after)
    if after.queens < order.received_queens:
        message = _("%(count)s of these queens have come already. Order at least as many.")
        raise FewerThanReceived(message % {"count": order.received_queens})
    sign(order, actor)
    save_changes(order, version, changes)
    stamps.bump(order.season_id, "queens")
    return order


class AllReceived(RuleBroken):
    pass


class CancelledTooEarly(RuleBroken):
    pass


@transaction.atomic
def cancel_queen_order(*, order_id: int, on: date, actor: User) -> QueenOrder:
    """Expect no more queens of this order; those that came stay. Raises OrderWasCancelled, AllReceived.

    Whether the breeder still takes it back after the last cancel date is between the two of you.
    """
    order = locked(order_id)
    if order.received_queens == order.queens:
        raise AllReceived(_("All queens of this order have come; there is nothing left to cancel."))
    if on < order.ordered_on:
        raise CancelledTooEarly(_("An order cannot be cancelled before it was placed. Choose a later day."))
    order.cancelled_on = on
    order.version += 1
    sign(order, actor)
    order.save(update_fields=["cancelled_on", "version"])
    stamps.bump(order.season_id, "queens")
    return order


class OrderWasCancelled(RuleBroken):
    pass


def locked(order_id: int) -> QueenOrder:
    """The order, locked after its season's stamp, if queens are still expected. Raises OrderWasCancelled."""
    stamps.lock(QueenOrder.objects.values_list("season_id", flat=True).get(pk=order_id), ["queens"])
    orders = QueenOrder.objects.select_for_update(no_key=True, of=("self",)).select_related("supplier", "season")
    order = orders.get(pk=order_id)
    if order.cancelled_on:
        raise OrderWasCancelled(_("This order was cancelled. Place a new one."))
    return order


def _refuse_impossible(order: QueenOrder) -> None:
    if not 1 <= order.queens <= 10_000:
        raise NoQueensAsked(_("Order from 1 to 10,000 queens."))
    if Week.of(order.ship_week) < Week.of(order.ordered_on):
        raise ShipsTooEarly(_("The ship week lies before the order. Choose a later week."))
