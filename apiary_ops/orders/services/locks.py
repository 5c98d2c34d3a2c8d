"""The one order in which rows of orders are locked: stamps, order, line."""

from apiary_ops.business import stamps
from apiary_ops.orders.models import Line, Order


def lock_order(order_id: int, *areas: str) -> Order:
    """The order with buyer, season and terms, locked after the stamps of its season ("orders" and `areas`).

    The stamp comes first because whoever changes an order bumps it, and whoever decides holds it while locking orders.
    """
    season_id = Order.objects.values_list("season_id", flat=True).get(pk=order_id)
    stamps.lock(season_id, ("orders", *areas))
    rows = Order.objects.select_for_update(no_key=True, of=("self",))
    return rows.select_related("buyer", "season", "terms").get(pk=order_id)


def lock_line(line_id: int, *areas: str) -> tuple[Order, Line]:
    """The line under the lock of its order."""
    order = lock_order(Line.objects.values_list("order_id", flat=True).get(pk=line_id), *areas)
    return order, Line.objects.select_for_update(no_key=True).get(pk=line_id)
