from datetime import UTC, date, datetime, time

import factory

from apiary_ops.nucs.models import Nuc
from apiary_ops.orders.models import Order
from apiary_ops.pickups import services
from apiary_ops.pickups.models import Booking, PickupDay, Window
from tests.factories.allocation import ready
from tests.factories.billing import open_books, order_of
from tests.factories.business import SeasonFactory
from tests.factories.people import UserFactory
from tests.factories.yards import YardFactory

# The morning most pickups of the tests happen on.
DAY = date(2027, 6, 5)
DAWN = datetime(2027, 6, 5, 8, 30, tzinfo=UTC)


class PickupDayFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = PickupDay

    season = factory.SubFactory(SeasonFactory)
    yard = factory.SubFactory(YardFactory, is_pickup_yard=True)
    on = DAY


class WindowFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = Window

    day = factory.SubFactory(PickupDayFactory)
    starts_at = time(5, 0)
    ends_at = time(6, 0)
    places = 6


def booked(order: Order, window: Window | None = None) -> Booking:
    """The whole order booked into a window."""
    quantities = {line.pk: line.quantity for line in order.lines.all()}
    window = window or WindowFactory()
    return services.book(order_id=order.pk, window_id=window.pk, quantities=quantities, actor=UserFactory(office=True))


def ready_order(*quantities: int, queen_cost_cents: int = 4800, **order) -> tuple[Order, list[Nuc]]:
    """Books open, a promised order, and as many ready nucs as it asks for."""
    open_books()
    made = order_of(*quantities, **order)
    nucs = ready(sum(quantities))
    Nuc.objects.filter(pk__in=[nuc.pk for nuc in nucs]).update(queen_cost_cents=queen_cost_cents)
    return made, list(Nuc.objects.filter(pk__in=[nuc.pk for nuc in nucs]).order_by("number"))
