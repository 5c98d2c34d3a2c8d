from datetime import date

import factory

from apiary_ops.queens.models import QueenOrder
from tests.factories.business import SeasonFactory
from tests.factories.costs import SupplierFactory


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
