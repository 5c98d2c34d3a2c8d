from datetime import date

import pytest

from tests.factories.business import BusinessFactory, SeasonFactory, TermsFactory
from tests.factories.orders import PriceFactory, RoundFactory


@pytest.fixture
def season(settings):
    settings.PRETENDED_TODAY = date(2027, 1, 12)
    BusinessFactory()
    return SeasonFactory()


@pytest.fixture
def on_sale(season):
    """5-frame spring nucs at 295.00 in a first round, 75.00 a nuc asked as deposit."""
    TermsFactory()
    RoundFactory(season=season)
    return PriceFactory(season=season)
