import pytest
from django.urls import reverse

from apiary_ops.costs import services
from apiary_ops.costs.models import Supplier

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("keeper")]


def test_without_suppliers_the_page_says_what_to_do_first(client):
    assert "Add the first one; bills and queen orders need it." in client.get(reverse("costs:suppliers")).text


def test_suppliers_are_listed_with_what_is_owed(client, record):
    record("H-1")
    record("H-2")

    page = client.get(reverse("costs:suppliers"))

    assert "Harbour Feed" in page.text
    assert "260.00" in page.text


def test_a_supplier_is_added(client):
    fields = {"name": "Ridge Queens", "currency": "USD", "sells_queens": "on"}

    response = client.post(reverse("costs:supplier-add"), fields, follow=True)

    assert "Ridge Queens is added." in response.content.decode()
    assert Supplier.objects.get().sells_queens is True


def test_a_name_already_taken_is_refused_beside_the_field(client, supplier):
    response = client.post(reverse("costs:supplier-add"), {"name": "harbour feed", "currency": "CAD"})

    assert response.status_code == 422
    assert "harbour feed is already among the suppliers. Choose another name." in response.text


def test_a_supplier_is_changed_and_tells_its_history(client, keeper):
    supplier = services.add_supplier(name="Harbour Feed", currency="CAD", actor=keeper)
    fields = {"name": "Harbour Mill", "currency": "CAD", "version": 1}

    response = client.post(reverse("costs:supplier-edit", args=[supplier.pk]), fields, follow=True)

    assert "Saved." in response.content.decode()
    assert "Harbour Feed" in client.get(reverse("costs:supplier-edit", args=[supplier.pk])).text


def test_a_stale_form_shows_both_values(client, keeper):
    supplier = services.add_supplier(name="Harbour Feed", currency="CAD", actor=keeper)
    services.edit_supplier(supplier_id=supplier.pk, version=1, changes={"phone": "555 0111"}, actor=keeper)
    fields = {"name": "Harbour Feed", "currency": "CAD", "phone": "555 0222", "version": 1}

    response = client.post(reverse("costs:supplier-edit", args=[supplier.pk]), fields)

    assert response.status_code == 422
    assert "Now stands as: 555 0111" in response.text
    assert 'value="555 0222"' in response.text
