import pytest
from django.urls import reverse

from apiary_ops.yards import services
from tests.factories.business import BusinessFactory, SeasonFactory
from tests.factories.yards import ColonyFactory, YardFactory


@pytest.fixture
def season(db, time_machine):
    """The afternoon of a spring day at a desk with the starting rules; phones wrote in the morning."""
    time_machine.move_to("2027-04-12 18:00+00:00")
    BusinessFactory(inspector="Provincial bee inspector", inspector_phone="555 0142")
    services.install_reference_rules()
    return SeasonFactory()


@pytest.fixture
def yard(season):
    yard = YardFactory(
        code="mill-lane", name="Mill Lane", round_trip_km=64, hazards="Bull in the near field.", gate_code="2468"
    )
    for place, tag in enumerate(["A1", "B2", "C3"], start=1):
        ColonyFactory(yard=yard, tag=tag, position=place)
    return yard


@pytest.fixture
def send(client):
    """Send a body to the desk as a phone does."""
    return lambda body: client.post(reverse("fieldbook:records"), body, content_type="application/json")
