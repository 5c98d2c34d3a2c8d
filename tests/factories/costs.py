import factory

from apiary_ops.costs.models import Supplier


class SupplierFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = Supplier

    name = factory.Sequence(lambda n: f"Supplier {n}")
    currency = "CAD"

    class Params:
        breeder = factory.Trait(sells_queens=True)
