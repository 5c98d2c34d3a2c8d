from datetime import date
from decimal import Decimal

import factory

from apiary_ops.yards.models import (
    BroodCheck,
    Colony,
    Factor,
    FrameMove,
    GradeRule,
    Hold,
    Look,
    MiteWash,
    Tally,
    TallyCount,
    Task,
    TaskRule,
    Treatment,
    TreatmentKind,
    Visit,
    Yard,
)
from tests.factories.business import SeasonFactory
from tests.factories.people import UserFactory


class YardFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = Yard

    code = factory.Sequence(lambda n: f"yard-{n}")
    name = factory.Sequence(lambda n: f"Yard {n}")
    round_trip_km = 60


class ColonyFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = Colony

    tag = factory.Sequence(lambda n: f"C{n:04d}")
    yard = factory.SubFactory(YardFactory)
    position = factory.Sequence(lambda n: n + 1)
    started_on = date(2026, 6, 1)


class FrameMoveFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = FrameMove

    on = date(2027, 4, 10)
    from_colony = factory.SubFactory(ColonyFactory)
    to_colony = factory.SubFactory(ColonyFactory, yard=factory.SelfAttribute("..from_colony.yard"))
    brood_frames = 2
    moved_by = factory.SubFactory(UserFactory, crew=True)


class VisitFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = Visit

    season = factory.SubFactory(SeasonFactory)
    yard = factory.SubFactory(YardFactory)
    on = date(2027, 4, 3)
    people = 2
    minutes = 60
    km = 60
    temperature_c = Decimal("6.0")
    recorded_by = factory.SubFactory(UserFactory, crew=True)


class LookFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = Look

    visit = factory.SubFactory(VisitFactory)
    colony = factory.SubFactory(ColonyFactory, yard=factory.SelfAttribute("..visit.yard"))
    below_halves = 12


class FactorFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = Factor

    view = "below"
    warmer_than_c = Decimal("10.0")
    factor = Decimal("0.825")
    valid_from = date(2020, 1, 1)
    source = "common practice"


class GradeRuleFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = GradeRule

    valid_from = date(2020, 1, 1)
    place = factory.Sequence(lambda n: n + 1)
    grade = "ordinary"
    least_frames = Decimal("4.5")


class TaskFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = Task

    yard = factory.SubFactory(YardFactory)
    season = factory.SubFactory(SeasonFactory)
    what = "Take the lower box off"
    due_on = date(2027, 4, 20)


class HoldFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = Hold

    yard = factory.SubFactory(YardFactory)
    reason = "brood disease suspected"
    starts_on = date(2027, 4, 10)
    placed_by = factory.SubFactory(UserFactory)


class TaskRuleFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = TaskRule
        django_get_or_create = ("code",)

    code = TaskRule.Code.PATTY
    days = 7
    source = "common practice"


class TreatmentKindFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = TreatmentKind

    code = factory.Sequence(lambda n: f"strips-{n}")
    name = "Strips"
    least_days = 42
    most_days = 56


class TreatmentFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = Treatment

    yard = factory.SubFactory(YardFactory)
    kind = factory.SubFactory(TreatmentKindFactory)
    starts_on = date(2027, 2, 10)
    due_out_on = date(2027, 4, 7)


class MiteWashFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = MiteWash

    visit = factory.SubFactory(VisitFactory)
    bees = 300
    mites = 3


class BroodCheckFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = BroodCheck

    visit = factory.SubFactory(VisitFactory)
    colonies_checked = 8
    result = BroodCheck.Result.CLEAR


class TallyFactory(factory.django.DjangoModelFactory):
    """A yard counted up by eye: `TallyFactory(visit=..., counts={"best": 10, "slow": 3})`."""

    class Meta:
        model = Tally
        skip_postgeneration_save = True

    visit = factory.SubFactory(VisitFactory, depth="tally")
    dead = 0

    @factory.post_generation
    def counts(obj, create, extracted, **kwargs):
        for grade, colonies in (extracted or {}).items():
            TallyCount.objects.create(tally=obj, grade=grade, colonies=colonies)
