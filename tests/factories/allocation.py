"""Lines owed and nucs on hand, as a plan finds them. Plans, pins and bindings themselves come from the services."""

from datetime import UTC, date, datetime

from apiary_ops.nucs.models import Nuc
from apiary_ops.orders.models import Line
from tests.factories.nucs import BatchFactory, NucFactory
from tests.factories.orders import LineFactory, OrderFactory

# Wednesday of the first week of the round that RoundFactory opens (31 May to 20 June 2027).
TODAY = date(2027, 6, 2)
NOW = datetime(2027, 6, 2, 9, tzinfo=UTC)


def owed(quantity: int, *, name: str = "", tier: str = "new", paid_at: datetime | None = None, **line) -> Line:
    """A promised line of its own order."""
    buyer = {"buyer__tier": tier, **({"buyer__name": name} if name else {})}
    order = OrderFactory(deposit_complete_at=paid_at, **buyer)
    return LineFactory(order=order, quantity=quantity, state=Line.State.PROMISED, **line)


def ready(count: int, *, ready_on: date = date(2027, 6, 1), **batch) -> list[Nuc]:
    """Ready nucs of one batch."""
    made = BatchFactory(size=count, **batch)
    return NucFactory.create_batch(count, batch=made, ready=True, ready_on=ready_on)
