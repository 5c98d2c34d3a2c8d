from django.db.models import QuerySet

from apiary_ops.allocation.models import Pin
from apiary_ops.orders.models import Line

from .inputs import takers


def pins(season_id: int) -> QuerySet[Pin]:
    """The pins of a season by week, each with its line, order and buyer."""
    rows = Pin.objects.filter(line__order__season_id=season_id)
    return rows.select_related("line__order__buyer", "line__kind", "kind", "pinned_by").order_by("week", "id")


def pinnable_lines(season_id: int) -> QuerySet[Line]:
    """Lines owed nucs that have no pin yet."""
    return takers(season_id).filter(pin__isnull=True)


def lines_to_pin(season_id: int, number: str) -> list[Line]:
    """The lines of one order that may be pinned."""
    return list(pinnable_lines(season_id).filter(order__number=number.strip()))
