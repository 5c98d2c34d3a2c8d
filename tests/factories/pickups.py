from datetime import date, time

import factory

from apiary_ops.pickups.models import PickupDay, Window
from tests.factories.business import SeasonFactory
from tests.factories.yards import YardFactory


class PickupDayFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = PickupDay

    season = factory.SubFactory(SeasonFactory)
    yard = factory.SubFactory(YardFactory, is_pickup_yard=True)
    on = date(2027, 6, 5)


class WindowFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = Window

    day = factory.SubFactory(PickupDayFactory)
    starts_at = time(5, 0)
    ends_at = time(6, 0)
    places = 6
