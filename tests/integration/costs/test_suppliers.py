import pytest

from apiary_ops.core.versions import StaleRecord
from apiary_ops.costs import services
from tests.factories.people import UserFactory

pytestmark = pytest.mark.django_db


def test_a_supplier_is_added_with_who_added_it_in_its_history():
    keeper = UserFactory(bookkeeper=True)

    supplier = services.add_supplier(name="Harbour Feed", currency="CAD", phone="555 0199", actor=keeper)

    assert (supplier.name, supplier.phone, supplier.sells_queens) == ("Harbour Feed", "555 0199", False)
    assert supplier.history.get().history_user == keeper


def test_two_suppliers_do_not_share_a_name():
    services.add_supplier(name="Harbour Feed", currency="CAD", actor=None)

    with pytest.raises(services.SupplierExists, match="harbour feed is already among the suppliers"):
        services.add_supplier(name="harbour feed", currency="CAD", actor=None)


def test_a_supplier_is_changed_and_a_stale_form_is_noticed():
    keeper = UserFactory()
    supplier = services.add_supplier(name="Harbour Feed", currency="CAD", actor=keeper)

    services.edit_supplier(supplier_id=supplier.pk, version=1, changes={"name": "Harbour Mill"}, actor=keeper)

    supplier.refresh_from_db()
    assert (supplier.name, supplier.version) == ("Harbour Mill", 2)
    with pytest.raises(StaleRecord):
        services.edit_supplier(supplier_id=supplier.pk, version=1, changes={"name": "Mill"}, actor=keeper)


def test_a_supplier_does_not_take_the_name_of_another():
    keeper = UserFactory()
    services.add_supplier(name="Harbour Feed", currency="CAD", actor=keeper)
    other = services.add_supplier(name="Mill Lane Boxes", currency="CAD", actor=keeper)

    with pytest.raises(services.SupplierExists):
        services.edit_supplier(supplier_id=other.pk, version=1, changes={"name": "Harbour Feed"}, actor=keeper)
