"""Buyers are found however their name and number are written, and edited without losing what others wrote."""

import pytest

from apiary_ops.core.versions import StaleRecord
from apiary_ops.orders import queries, services
from apiary_ops.orders.models import Buyer
from tests.factories.orders import BuyerFactory
from tests.factories.people import UserFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def clerk():
    return UserFactory(office=True)


def test_a_buyer_is_added_with_keys_to_find_them_by(clerk):
    buyer = services.add_buyer(name=" Łukasz   Čížek ", phone="+1 902 555-0100", tier="returning", actor=clerk)

    buyer.refresh_from_db()
    assert (buyer.name, buyer.search_key) == ("Łukasz Čížek", "lukasz cizek")
    assert (buyer.phone, buyer.phone_key) == ("+1 902 555-0100", "+19025550100")
    assert buyer.tier == Buyer.Tier.RETURNING
    assert buyer.history.get().history_user == clerk


@pytest.mark.parametrize(
    "text", ["cizek", "Čížek Łuk", "555 0100", "+1 902 555 0100", "902-555-0100", "mill@alderwick.example", "0100"]
)
def test_a_buyer_is_found_by_name_telephone_or_mail(clerk, text):
    buyer = services.add_buyer(
        name="Łukasz Čížek", phone="+1 902 555-0100", email="mill@alderwick.example", actor=clerk
    )
    services.add_buyer(name="Someone Else", phone="555 7777", actor=clerk)

    assert list(queries.buyers(text)) == [buyer]


def test_an_empty_search_shows_every_buyer_by_name(clerk):
    second = services.add_buyer(name="Åse Berg", actor=clerk)
    first = services.add_buyer(name="Abel Ward", actor=clerk)

    assert list(queries.buyers("  ")) == [first, second]


def test_a_buyer_who_may_be_there_already_is_shown_by_number_mail_and_name(clerk):
    by_phone = services.add_buyer(name="Mill Lane Farm", phone="555 0100", actor=clerk)
    by_mail = services.add_buyer(name="The Mill", email="Anna@Alderwick.example", actor=clerk)
    by_name = services.add_buyer(name="Kovac, Anna", actor=clerk)
    services.add_buyer(name="Anna Reed", phone="555 0101", actor=clerk)

    found = queries.likely_duplicates(name="Anna Kovač", phone="+1 555-0100", email="anna@alderwick.example")

    assert found == [by_phone, by_mail, by_name]


def test_a_new_name_with_a_new_number_has_no_duplicates(clerk):
    services.add_buyer(name="Anna Kovac", phone="555 0100", actor=clerk)

    assert queries.likely_duplicates(name="Bo Lind", phone="555 0199") == []


def test_a_duplicate_is_not_refused(clerk):
    services.add_buyer(name="Anna Kovac", phone="555 0100", actor=clerk)
    services.add_buyer(name="Anna Kovac", phone="555 0100", actor=clerk)

    assert Buyer.objects.filter(search_key="anna kovac").count() == 2


def test_editing_a_buyer_renews_the_keys_and_the_version(clerk):
    buyer = services.add_buyer(name="Anna Kovac", phone="555 0100", actor=clerk)

    services.edit_buyer(buyer_id=buyer.pk, version=1, changes={"name": "Ana Novák", "phone": "555 0200"}, actor=clerk)

    buyer.refresh_from_db()
    assert (buyer.search_key, buyer.phone_key, buyer.version) == ("ana novak", "5550200", 2)


def test_a_stale_edit_is_refused(clerk):
    buyer = BuyerFactory(version=2)

    with pytest.raises(StaleRecord, match="Someone changed this record"):
        services.edit_buyer(buyer_id=buyer.pk, version=1, changes={"name": "Other"}, actor=clerk)
