from datetime import date

import pytest

from apiary_ops.costs import services
from apiary_ops.costs.services import BillPart
from tests.factories.books import PeriodFactory
from tests.factories.business import BusinessFactory, SeasonFactory
from tests.factories.costs import SupplierFactory
from tests.factories.people import UserFactory


@pytest.fixture
def keeper(client, chart, time_machine):
    """A bookkeeper at the desk on Monday 12 April 2027."""
    time_machine.move_to("2027-04-12 15:00+00:00")
    BusinessFactory()
    SeasonFactory()
    PeriodFactory()
    user = UserFactory(bookkeeper=True)
    client.force_login(user)
    return user


@pytest.fixture
def supplier():
    return SupplierFactory(name="Harbour Feed")


@pytest.fixture
def record(keeper, supplier):
    """Record a bill of 130.00 of Harbour Feed: `record("H-42", due_on=...)`."""

    def record(reference="H-42", **changes):
        values = {
            "season_id": SeasonFactory().pk,
            "supplier_id": supplier.pk,
            "reference": reference,
            "billed_on": date(2027, 3, 1),
            "due_on": date(2027, 3, 31),
            "parts": [BillPart("spring-feed", 100_00, "Syrup"), BillPart("office", 30_00, "Labels")],
            "actor": keeper,
        }
        return services.record_bill(**values | changes)

    return record
