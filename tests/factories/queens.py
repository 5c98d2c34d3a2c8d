from datetime import date

import factory

from apiary_ops.books.services import install_chart
from apiary_ops.queens.models import Lot, QueenOrder
from apiary_ops.queens.services import receive_lot
from tests.factories.books import PeriodFactory
from tests.factories.business import SeasonFactory
from tests.factories.costs import SupplierFactory
from tests.factories.people import UserFactory


class QueenOrderFactory(factory.django.DjangoModelFactory):
    """Lots are received through queens.services.receive_lot, since each posts its bill."""

    class Meta:
        model = QueenOrder

    season = factory.SubFactory(SeasonFactory)
    supplier = factory.SubFactory(SupplierFactory, breeder=True)
    queens = 50
    unit_price_cents = 4800
    ship_week = date(2027, 5, 3)
    ordered_on = date(2026, 12, 1)


def received_lot(order: QueenOrder | None = None, *, received: int = 50, **values) -> Lot:
    """A lot received and posted, its chart and period opened as needed: 50 queens at 48.00 landed on 3 May."""
    install_chart()
    PeriodFactory()
    order = order or QueenOrderFactory(queens=received)
    defaults = {
        "received_on": date(2027, 5, 3),
        "dead_on_arrival": 0,
        "freight_cents": 0,
        "papers_cents": 0,
        "reference": f"Q-{order.pk}-{order.lots.count() + 1}",
        "due_on": date(2027, 6, 2),
    }
    actor = values.pop("actor", None) or UserFactory()
    return receive_lot(order_id=order.pk, received=received, actor=actor, **{**defaults, **values})
