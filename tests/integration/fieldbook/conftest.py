"""A yard with three colonies, two people with a phone each, and the desk they send to."""

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import UTC, datetime
from typing import Any
from uuid import UUID, uuid4

import pytest
from django.utils import timezone

from apiary_ops.fieldbook.services import Outcome, land_records
from apiary_ops.people.models import User
from apiary_ops.yards import services
from tests.factories.business import BusinessFactory, SeasonFactory
from tests.factories.people import UserFactory
from tests.factories.yards import ColonyFactory, YardFactory

# 3 April 2027, half past nine at the yard and noon when it comes in.
SEEN = "2027-04-03T09:30:00-03:00"
RECEIVED = datetime(2027, 4, 3, 15, tzinfo=UTC)


@dataclass(frozen=True)
class Phone:
    """One person's phone: it words records as the wire has them, and sends them."""

    user: User
    device: UUID = field(default_factory=uuid4)

    def record(self, kind: str, payload: dict[str, Any], parent: str | None = None, **change: Any) -> dict[str, Any]:
        record = {
            "key": str(uuid4()),
            "kind": kind,
            "version": 2,
            "parent": parent,
            "device": str(self.device),
            "observed_by": self.user.pk,
            "observed_at": SEEN,
            "payload": payload,
        }
        return record | change

    def visit(self, **change: Any) -> dict[str, Any]:
        payload = {
            "yard": "mill-lane",
            "on": "2027-04-03",
            "arrived": "09:15",
            "crew": [self.user.pk],
            "temperature_c": "6.0",
            "sky": "cloud",
            "view": "below",
            "depth": "each",
            "km": 64,
        }
        return self.record("visit", payload | change)

    def look(self, visit: dict[str, Any], tag: str = "A1", **facts: Any) -> dict[str, Any]:
        return self.record("look", {"tag": tag} | facts, visit["key"])

    def send(self, *records: Any, received_at: datetime = RECEIVED) -> list[Outcome]:
        return land_records(records=records, sent_by=self.user, received_at=received_at)

    def states(self, *records: Any) -> list[str]:
        return [outcome.state for outcome in self.send(*records)]


@pytest.fixture
def season(db):
    BusinessFactory()
    services.install_reference_rules()
    with timezone.override("America/Halifax"):
        yield SeasonFactory()


@pytest.fixture
def yard(season):
    yard = YardFactory(code="mill-lane", name="Mill Lane", round_trip_km=64)
    for place, tag in enumerate(["A1", "B2", "C3"], start=1):
        ColonyFactory(yard=yard, tag=tag, position=place, boxes=2)
    return yard


@pytest.fixture
def phone_of() -> Callable[[str], Phone]:
    return lambda name: Phone(UserFactory(full_name=name, crew=True))


@pytest.fixture
def tove(yard, phone_of) -> Phone:
    return phone_of("Tove Brook")


@pytest.fixture
def ib(yard, phone_of) -> Phone:
    return phone_of("Ib Fell")
