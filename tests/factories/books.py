from datetime import date

import factory

from apiary_ops.books.models import Account, Period


class AccountFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = Account
        django_get_or_create = ("key",)

    key = factory.Sequence(lambda n: f"account-{n}")
    number = factory.Sequence(lambda n: f"9{n:03d}")
    name = factory.LazyAttribute(lambda account: account.key.replace("-", " "))
    kind = Account.Kind.ASSET


class PeriodFactory(factory.django.DjangoModelFactory):
    """One period wide enough for a whole season."""

    class Meta:
        model = Period
        django_get_or_create = ("starts_on",)

    fiscal_year = 2027
    starts_on = date(2026, 9, 1)
    ends_before = date(2027, 10, 1)
