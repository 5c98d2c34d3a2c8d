"""Yards: added and edited."""

import pytest

from apiary_ops.core.versions import StaleRecord
from apiary_ops.yards import services
from tests.factories.people import UserFactory
from tests.factories.yards import ColonyFactory, YardFactory

pytestmark = pytest.mark.django_db


def test_a_yard_is_added_with_its_round_trip():
    yard = services.add_yard(code="mill-lane", name="Mill Lane", round_trip_km=64, actor=UserFactory())

    assert (yard.code, yard.name, yard.round_trip_km, yard.is_active) == ("mill-lane", "Mill Lane", 64, True)


def test_a_code_names_one_yard():
    YardFactory(code="mill-lane")

    with pytest.raises(services.CodeTaken) as refusal:
        services.add_yard(code="mill-lane", name="Another", actor=None)

    assert str(refusal.value) == "A yard with the code mill-lane is already there. Choose another code."


def test_a_yard_with_colonies_stays_in_use():
    yard = YardFactory(name="Mill Lane")
    ColonyFactory.create_batch(2, yard=yard)

    with pytest.raises(services.YardStillUsed, match=r"^2 colonies stand in Mill Lane\. Move or end them first\.$"):
        services.edit_yard(yard_id=yard.pk, version=1, changes={"is_active": False}, actor=UserFactory())


def test_an_empty_yard_goes_out_of_use():
    yard = YardFactory()

    services.edit_yard(yard_id=yard.pk, version=1, changes={"is_active": False}, actor=UserFactory())

    yard.refresh_from_db()
    assert yard.is_active is False


def test_a_yard_changed_meanwhile_is_not_overwritten():
    yard = YardFactory(version=5)

    with pytest.raises(StaleRecord):
        services.edit_yard(yard_id=yard.pk, version=4, changes={"name": "Other"}, actor=UserFactory())
