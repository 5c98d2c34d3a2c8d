from datetime import date
from decimal import Decimal

import pytest

from tests.factories.business import BusinessFactory, SeasonFactory
from tests.factories.nucs import NucKindFactory
from tests.factories.people import UserFactory
from tests.factories.yards import ColonyFactory, GradeRuleFactory, LookFactory, VisitFactory, YardFactory


@pytest.fixture
def season():
    BusinessFactory()
    return SeasonFactory()


@pytest.fixture
def kind():
    return NucKindFactory()


@pytest.fixture
def owner():
    return UserFactory()


@pytest.fixture
def yard():
    """A yard whose colonies of four frames and more count for nucs."""
    GradeRuleFactory(grade="good", least_frames=Decimal("4"))
    GradeRuleFactory(grade="behind", least_frames=Decimal("0"), gives_nucs=False)
    return YardFactory(code="river", name="River yard")


@pytest.fixture
def seen(season, yard):
    """Colonies of one yard seen on a day: `seen(13, 12)` are two, of 6½ and 6 frames from below."""

    def seen(*halves, on=date(2027, 4, 3), at=yard, sealed=None, **colony):
        visit = VisitFactory(season=season, yard=at, on=on)
        return [
            LookFactory(visit=visit, colony=ColonyFactory(yard=at, **colony), below_halves=count, sealed_halves=sealed)
            for count in halves
        ]

    return seen
