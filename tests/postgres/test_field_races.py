"""Two phones, or one twice, at the same moment: a holder and a waiter each."""

from datetime import UTC, datetime
from uuid import uuid4

import pytest
from django.utils import timezone

from apiary_ops.fieldbook.models import Record
from apiary_ops.fieldbook.services import Outcome, land_records
from apiary_ops.yards import services
from apiary_ops.yards.models import Look, Visit
from tests.factories.business import BusinessFactory, SeasonFactory
from tests.factories.people import UserFactory
from tests.factories.yards import ColonyFactory, YardFactory
from tests.postgres.racing import race

pytestmark = [pytest.mark.postgres, pytest.mark.django_db(transaction=True)]
RECEIVED = datetime(2027, 4, 3, 15, tzinfo=UTC)


@pytest.fixture(autouse=True)
def yard():
    BusinessFactory()
    SeasonFactory()
    services.install_reference_rules()
    yard = YardFactory(code="mill-lane", name="Mill Lane")
    ColonyFactory(yard=yard, tag="A1", position=1)
    return yard


@pytest.fixture
def tove():
    return UserFactory(full_name="Tove Brook", crew=True)


@pytest.fixture
def ib():
    return UserFactory(full_name="Ib Fell", crew=True)


def record(user, kind, payload, parent=None):
    return {
        "key": str(uuid4()),
        "kind": kind,
        "version": 2,
        "parent": parent,
        "device": str(uuid4()),
        "observed_by": user.pk,
        "observed_at": "2027-04-03T09:30:00-03:00",
        "payload": payload,
    }


def visit(user):
    return record(user, "visit", {"yard": "mill-lane", "on": "2027-04-03", "crew": [user.pk]})


def send(user, sent):
    with timezone.override("America/Halifax"):
        return land_records(records=[sent], sent_by=user, received_at=RECEIVED)[0]


def test_the_same_record_sent_twice_at_once_lands_once_and_both_are_told(tove):
    sent = visit(tove)

    first, second = race(lambda: send(tove, sent), lambda: send(tove, sent))

    assert first == second == Outcome(sent["key"], "landed")
    assert (Visit.objects.count(), Record.objects.count()) == (1, 1)


def test_two_phones_that_start_at_once_start_one_visit(tove, ib):
    first, second = race(lambda: send(tove, visit(tove)), lambda: send(ib, visit(ib)))

    there = Visit.objects.get()
    assert (first.state, second.state) == ("landed", "landed")
    assert second.words == "Joined the visit of Tove Brook to Mill Lane."
    assert set(there.crew.all()) == {tove, ib}


def test_two_phones_on_one_colony_give_one_look_and_a_question(tove, ib):
    mine, other = visit(tove), visit(ib)
    send(tove, mine)
    send(ib, other)

    first, second = race(
        lambda: send(tove, record(tove, "look", {"tag": "A1", "below_halves": 11}, mine["key"])),
        lambda: send(ib, record(ib, "look", {"tag": "A1", "below_halves": 7}, other["key"])),
    )

    assert (first.state, second.state) == ("landed", "question")
    assert second.words == "Tove Brook already said otherwise of A1 on this visit."
    assert Look.objects.get().below_halves == 11


def test_two_phones_that_say_the_same_of_one_colony_agree(tove, ib):
    mine, other = visit(tove), visit(ib)
    send(tove, mine)
    send(ib, other)

    first, second = race(
        lambda: send(tove, record(tove, "look", {"tag": "A1", "below_halves": 11}, mine["key"])),
        lambda: send(ib, record(ib, "look", {"tag": "A1", "below_halves": 11}, other["key"])),
    )

    assert (first.state, second.state) == ("landed", "landed")
    assert Look.objects.count() == 1


def test_a_waiting_look_sent_again_while_its_visit_lands_lands_once(tove):
    sent = visit(tove)
    look = record(tove, "look", {"tag": "A1", "below_halves": 11}, sent["key"])
    send(tove, look)

    first, second = race(lambda: send(tove, sent), lambda: send(tove, look))

    assert (first.state, second.state) == ("landed", "landed")
    assert Look.objects.get().below_halves == 11
