from datetime import date
from decimal import Decimal

import factory

from apiary_ops.business.models import Business, Season, TaxCategory, TaxRate, Terms


class BusinessFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = Business
        django_get_or_create = ("id",)

    id = 1
    name = "Fernhollow Bees"
    address = "4 Mill Lane\nAlderwick"
    phone = "555 0100"
    email = "desk@fernhollow.example"
    time_zone = "America/Halifax"
    currency = "CAD"
    cautions = "Lift with your legs; a full box is heavier than it looks.\nStings can kill: know who is allergic."


class SeasonFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = Season
        django_get_or_create = ("year",)

    year = 2027
    starts_on = factory.LazyAttribute(lambda season: date(season.year - 1, 9, 1))
    ends_before = factory.LazyAttribute(lambda season: date(season.year, 9, 1))


class TermsFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = Terms
        django_get_or_create = ("valid_from",)

    valid_from = date(2026, 9, 1)
    deposit_cents_per_nuc = 7500
    due_days = 14
    text = "75.00 a nuc holds your place; refunded in full until 1 March."


class TaxCategoryFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = TaxCategory
        django_get_or_create = ("code",)

    code = "zero"
    name = "zero rated"
    en16931_code = "Z"


class TaxRateFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = TaxRate

    category = factory.SubFactory(TaxCategoryFactory)
    valid_from = date(2020, 1, 1)
    percent = Decimal("0")
