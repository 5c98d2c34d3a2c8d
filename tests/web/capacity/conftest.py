from datetime import date

import pytest

from tests.factories.business import BusinessFactory, SeasonFactory
from tests.factories.nucs import NucKindFactory


@pytest.fixture
def season(settings):
    """A business at its desk on a Monday in April."""
    settings.PRETENDED_TODAY = date(2027, 4, 12)
    BusinessFactory()
    return SeasonFactory()


@pytest.fixture
def kind():
    return NucKindFactory()
