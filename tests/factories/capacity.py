from datetime import UTC, date, datetime

import factory

from apiary_ops.capacity.models import Assumptions, Forecast, ForecastRow
from tests.factories.business import SeasonFactory
from tests.factories.nucs import NucKindFactory
from tests.factories.yards import YardFactory


class AssumptionsFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = Assumptions
        django_get_or_create = ("season",)

    season = factory.SubFactory(SeasonFactory)


class ForecastFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = Forecast

    season = factory.SubFactory(SeasonFactory)
    made_at = datetime(2027, 4, 12, 12, tzinfo=UTC)
    today = date(2027, 4, 12)
    stamps = factory.LazyFunction(dict)
    assumptions = factory.LazyFunction(dict)


class ForecastRowFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = ForecastRow

    forecast = factory.SubFactory(ForecastFactory)
    yard = factory.SubFactory(YardFactory)
    kind = factory.SubFactory(NucKindFactory)
    week = date(2027, 5, 3)
    spring = "low"
    alone = 8
    pooled = 10
    surplus_bees = 25
    surplus_brood = 20
