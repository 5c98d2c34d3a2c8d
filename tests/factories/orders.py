from datetime import date, timedelta

import factory

from apiary_ops.orders.models import Buyer, Line, Order, Price, Round
from tests.factories.business import SeasonFactory, TaxCategoryFactory, TermsFactory
from tests.factories.nucs import NucKindFactory
from tests.factories.people import UserFactory
from tests.factories.promise import make_room


class BuyerFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = Buyer

    name = factory.Sequence(lambda n: f"Buyer {n}")
    search_key = factory.LazyAttribute(lambda buyer: buyer.name.casefold())
    phone = factory.Sequence(lambda n: f"555 {n:04d}")
    phone_key = factory.LazyAttribute(lambda buyer: "".join(c for c in buyer.phone if c.isdigit()))


class RoundFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = Round
        django_get_or_create = ("season", "name")

    season = factory.SubFactory(SeasonFactory)
    name = "first round"
    starts_on = date(2027, 5, 31)
    ends_before = date(2027, 6, 21)


class PriceFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = Price

    season = factory.SubFactory(SeasonFactory)
    kind = factory.SubFactory(NucKindFactory)
    valid_from = date(2026, 9, 1)
    cents = 29500
    tax_category = factory.SubFactory(TaxCategoryFactory)


class OrderFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = Order

    season = factory.SubFactory(SeasonFactory)
    number = factory.Sequence(lambda n: f"2027-{n + 1:04d}")
    buyer = factory.SubFactory(BuyerFactory)
    placed_on = date(2027, 1, 12)
    terms = factory.SubFactory(TermsFactory)
    deposit_due_cents = 7500
    deposit_due_on = factory.LazyAttribute(lambda order: order.placed_on + timedelta(days=14))
    taken_by = factory.SubFactory(UserFactory)


class LineFactory(factory.django.DjangoModelFactory):
    """A line; one that is promised or collected brings the room it was promised in."""

    class Meta:
        model = Line
        skip_postgeneration_save = True

    order = factory.SubFactory(OrderFactory)
    kind = factory.SubFactory(NucKindFactory)
    round = factory.SubFactory(RoundFactory, season=factory.SelfAttribute("..order.season"))
    quantity = 2
    price_cents = 29500
    tax_category = factory.SubFactory(TaxCategoryFactory)

    @classmethod
    def _create(cls, model_class, *args, **kwargs):
        if kwargs.get("state") in (Line.State.PROMISED, Line.State.PART_COLLECTED, Line.State.COLLECTED):
            make_room(kwargs["round"], kwargs["kind"], kwargs["quantity"])
        return super()._create(model_class, *args, **kwargs)
