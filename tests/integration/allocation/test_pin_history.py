"""A pin that was removed stays on record, with who removed it."""

from datetime import date

import pytest

from apiary_ops.allocation import services
from apiary_ops.allocation.models import Pin
from tests.factories.allocation import owed
from tests.factories.people import UserFactory

pytestmark = pytest.mark.django_db


def test_who_removed_a_pin_can_be_found():
    line, office = owed(2), UserFactory(office=True)
    services.pin_line(
        line_id=line.pk,
        week=line.round.starts_on,
        kind_id=line.kind_id,
        reason="leaves for the coast",
        today=date(2027, 5, 10),
        actor=office,
    )
    owner = UserFactory()

    services.unpin_line(line_id=line.pk, actor=owner)

    removed, pinned = Pin.history.order_by("-history_id")
    assert (removed.history_type, removed.history_user) == ("-", owner)
    assert (pinned.history_type, pinned.history_user, pinned.reason) == ("+", office, "leaves for the coast")
