from datetime import date
from decimal import Decimal

import factory

from apiary_ops.nucs.models import Batch, Check, Nuc, NucKind, SplitDay
from apiary_ops.nucs.services import DonationDraft, make_batch
from tests.factories.business import SeasonFactory
from tests.factories.people import UserFactory
from tests.factories.queens import received_lot
from tests.factories.yards import ColonyFactory, YardFactory


class NucKindFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = NucKind
        django_get_or_create = ("code",)

    code = "spring-5"
    name = "5-frame spring nuc"
    frames = 5
    make_up_bees = Decimal("2.5")
    make_up_brood = Decimal("2")
    make_up_food = Decimal("1")
    make_up_combs = Decimal("2")
    sale_covered = Decimal("4")
    sale_brood = Decimal("3")
    sale_food = Decimal("1")
    weeks_to_sale = 4
    keeps_days = 10


class SplitDayFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = SplitDay

    season = factory.SubFactory(SeasonFactory)
    yard = factory.SubFactory(YardFactory)
    on = date(2027, 5, 4)
    recorded_by = factory.SubFactory(UserFactory)


class BatchFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = Batch

    season = factory.SelfAttribute("split_day.season")
    split_day = factory.SubFactory(SplitDayFactory)
    kind = factory.SubFactory(NucKindFactory)
    stands_at = factory.SelfAttribute("split_day.yard")
    size = 20
    made_on = factory.SelfAttribute("split_day.on")


class NucFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = Nuc

    batch = factory.SubFactory(BatchFactory)
    season = factory.SelfAttribute("batch.season")
    kind = factory.SelfAttribute("batch.kind")
    yard = factory.SelfAttribute("batch.stands_at")
    number = factory.Sequence(lambda n: n + 1)

    class Params:
        laying = factory.Trait(state=Nuc.State.LAYING, queened_on=date(2027, 5, 5))
        ready = factory.Trait(state=Nuc.State.LAYING, queened_on=date(2027, 5, 5), ready_on=date(2027, 6, 1))


class CheckFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = Check

    nuc = factory.SubFactory(NucFactory)
    on = date(2027, 5, 25)
    recorded_by = factory.SubFactory(UserFactory)


def made_batch(size: int = 4, *, queened: bool = True, **values) -> Batch:
    """A batch made through the service on 4 May, from one donor a nuc; its queens in the day after, if `queened`.

    Its lot has exactly its queens, at 48.00 each, unless one is given.
    """
    day = values.pop("split_day", None) or SplitDayFactory()
    kind = values.pop("kind", None) or NucKindFactory()
    lot = values.pop("lot", None) or (received_lot(received=size) if queened else None)
    donations = [
        DonationDraft(ColonyFactory(yard=day.yard).pk, kind.make_up_bees, kind.make_up_brood) for _nuc in range(size)
    ]
    defaults = {
        "stands_at_id": day.yard_id,
        "made_on": day.on,
        "queen_in_on": date(2027, 5, 5) if lot else None,
        "donations": donations,
        "actor": day.recorded_by,
    }
    return make_batch(
        split_day_id=day.pk, kind_id=kind.pk, lot_id=lot.pk if lot else None, size=size, **{**defaults, **values}
    )
