import pytest

from apiary_ops.business import stamps
from tests.factories.business import SeasonFactory


@pytest.mark.django_db
def test_a_stamp_rises_with_each_bump_and_only_in_its_area():
    season = SeasonFactory()

    stamps.bump(season.pk, "orders")
    stamps.bump(season.pk, "orders")

    assert stamps.read(season.pk, ["orders", "yards"]) == {"orders": 2, "yards": 0}


@pytest.mark.django_db
def test_locking_returns_the_counters_it_locked():
    season = SeasonFactory()
    stamps.bump(season.pk, "nucs")

    assert stamps.lock(season.pk, ["nucs", "orders"]) == {"nucs": 1, "orders": 0}


@pytest.mark.django_db
def test_an_unknown_area_is_a_mistake_in_the_code():
    with pytest.raises(ValueError, match="Unknown stamp area"):
        stamps.bump(1, "honey")
