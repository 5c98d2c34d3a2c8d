from datetime import date, datetime

from django.db import transaction

from apiary_ops.orders import services as order_services
from apiary_ops.orders.models import Line
from apiary_ops.people.models import User

from .deposits import settle_place


@transaction.atomic
def cancel_line(*, line_id: int, on: date, reason: str, at: datetime, actor: User) -> Line:
    """Cancel what is outstanding on a line, and give the order its place if its deposit now suffices.

    The deposit itself stays held until someone refunds or keeps it. Raises NothingToCancel.
    """
    line = order_services.cancel_line(line_id=line_id, on=on, reason=reason, actor=actor)
    settle_place(order_id=line.order_id, at=at, actor=actor)
    return line
