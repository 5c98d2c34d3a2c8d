from datetime import date

import pytest

from apiary_ops.costs import services
from apiary_ops.costs.services import BillPart
from tests.factories.books import PeriodFactory
from tests.factories.business import BusinessFactory, SeasonFactory
from tests.factories.costs import SupplierFactory
from tests.factories.people import UserFactory


@pytest.fixture
def keeper(chart):
    BusinessFactory()
    PeriodFactory()
    return UserFactory(bookkeeper=True)


@pytest.fixture
def record(keeper):
    """Record a bill of 130.00: `record(reference="H-42")`."""
    supplier = SupplierFactory(name="Harbour Feed")

    def record(**changes):
        values = {
            "season_id": SeasonFactory().pk,
            "supplier_id": supplier.pk,
            "reference": "H-42",
            "billed_on": date(2027, 3, 1),
            "due_on": date(2027, 3, 31),
            "parts": [BillPart("spring-feed", 100_00, "Syrup"), BillPart("office", 30_00, "Labels")],
            "actor": keeper,
        }
        return services.record_bill(**values | changes)

    return record
