from datetime import UTC, date, datetime

import factory

from apiary_ops.capacity.compute import ASSUMED
from apiary_ops.capacity.models import Assumptions, Forecast, ForecastRow
from tests.factories.business import SeasonFactory
from tests.factories.nucs import NucKindFactory
from tests.factories.yards import YardFactory

# What a forecast made under the defaults keeps of them.
STATED = {parameter.name: parameter.value for parameter in ASSUMED} | {"nucs_per_person_day": 20}


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


def stand_forecast(season, kind, made_by_week, *, spring="low", yard=None, forecast=None, **changes) -> Forecast:
    """A stored forecast of one yard: nucs of a kind by make-up week, as pooled in one spring."""
    forecast = forecast or ForecastFactory(season=season, colonies_counted=40, assumptions=STATED, **changes)
    yard = yard or YardFactory()
    for week, nucs in made_by_week.items():
        ForecastRowFactory(
            forecast=forecast,
            yard=yard,
            kind=kind,
            week=week,
            spring=spring,
            alone=nucs // 2,
            pooled=nucs,
            surplus_bees=nucs * kind.make_up_bees,
            surplus_brood=nucs * kind.make_up_brood,
        )
    return forecast
