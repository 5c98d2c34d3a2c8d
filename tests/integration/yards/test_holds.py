"""Holds: placed with a reason, lifted with a reason, never touched again."""

from datetime import date

import pytest
from django.db import IntegrityError, transaction

from apiary_ops.yards import queries, services
from apiary_ops.yards.models import Hold
from tests.factories.yards import ColonyFactory, HoldFactory, YardFactory

pytestmark = pytest.mark.django_db


def test_a_yard_is_held_from_its_day_until_the_day_the_hold_ends(ada):
    yard = YardFactory()
    hold = services.place_hold(yard_id=yard.pk, reason=" sprayed field ", starts_on=date(2027, 4, 10), actor=ada)
    services.lift_hold(hold_id=hold.pk, on=date(2027, 4, 12), because="flowers mown", actor=ada)

    open_on = [day for day in range(8, 15) if queries.holds_open(date(2027, 4, day)).exists()]

    assert hold.reason == "sprayed field"
    assert open_on == [10, 11]


def test_a_hold_of_a_colony_names_the_yard_it_stands_in(ada):
    colony = ColonyFactory(tag="C0001", yard=YardFactory(name="Mill Lane"))

    with pytest.raises(services.ColonyElsewhere, match="C0001 stands in Mill Lane, not in Far Field"):
        services.place_hold(
            yard_id=YardFactory(name="Far Field").pk,
            colony_id=colony.pk,
            reason="odd brood",
            starts_on=date(2027, 4, 10),
            actor=ada,
        )


def test_a_hold_needs_its_reason_at_both_ends(ada):
    with pytest.raises(services.ReasonMissing, match="Say why nothing may move"):
        services.place_hold(yard_id=YardFactory().pk, reason=" ", starts_on=date(2027, 4, 10), actor=ada)
    with pytest.raises(services.ReasonMissing, match="Say why it ended"):
        services.lift_hold(hold_id=HoldFactory().pk, on=date(2027, 4, 20), because="", actor=ada)


def test_a_hold_ends_once_and_not_before_it_began(ada):
    hold = HoldFactory(starts_on=date(2027, 4, 10))

    with pytest.raises(services.HoldEndsTooEarly, match="began on Sat 10 Apr 2027"):
        services.lift_hold(hold_id=hold.pk, on=date(2027, 4, 9), because="clear", actor=ada)
    services.lift_hold(hold_id=hold.pk, on=date(2027, 4, 10), because="clear", actor=ada)
    with pytest.raises(services.HoldEnded, match="already ended on Sat 10 Apr 2027"):
        services.lift_hold(hold_id=hold.pk, on=date(2027, 4, 11), because="clear", actor=ada)


def test_open_holds_stand_before_ended_ones(ada):
    ended = HoldFactory(starts_on=date(2027, 4, 11), ended_on=date(2027, 4, 12), ended_because="clear")
    older, newer = HoldFactory(starts_on=date(2027, 3, 1)), HoldFactory(starts_on=date(2027, 4, 1))

    assert list(queries.holds()) == [newer, older, ended]


def test_the_database_keeps_an_ended_hold_as_it_is():
    hold = HoldFactory(ended_on=date(2027, 4, 12), ended_because="clear")

    with pytest.raises(IntegrityError, match="stays as it is"), transaction.atomic():
        Hold.objects.filter(pk=hold.pk).update(ended_on=None)
    with pytest.raises(IntegrityError, match="never deleted"), transaction.atomic():
        Hold.objects.filter(pk=hold.pk).delete()
