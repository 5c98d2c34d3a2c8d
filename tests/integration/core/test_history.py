"""The history of a record, in the words people chose."""

from datetime import UTC, date, datetime

import pytest

from apiary_ops.core.history import Change, history_rows, sign
from tests.factories.orders import OrderFactory
from tests.factories.people import UserFactory
from tests.factories.queens import QueenOrderFactory
from tests.factories.yards import ColonyFactory

pytestmark = pytest.mark.django_db


def test_a_change_names_who_and_both_values_in_words():
    colony = ColonyFactory(purpose="nucs")
    colony.purpose = "drones"
    colony.version = 2
    colony._history_user = UserFactory(full_name="Ada Fell")
    colony.save()

    newest, first = history_rows(colony)

    assert (newest.what, newest.who) == ("Changed", "Ada Fell")
    assert newest.changes == (Change("kept for", "nucs", "drone mother"),)
    assert (first.what, first.who, first.changes) == ("Recorded", "", ())


def test_a_save_that_changed_nothing_is_left_out():
    colony = ColonyFactory()
    colony.save()

    rows = history_rows(colony)

    assert [row.what for row in rows] == ["Recorded"]


def test_money_is_shown_only_where_the_currency_is_given():
    order = QueenOrderFactory(unit_price_cents=4800)
    sign(order, None)
    order.queens, order.unit_price_cents = 60, 5050
    order.save()

    priced = history_rows(order, currency="CAD")[0].changes
    plain = history_rows(order)[0].changes

    assert [(change.label, change.before, change.after) for change in priced] == [
        ("queens", "50", "60"),
        ("price each", "48.00 CAD", "50.50 CAD"),
    ]
    assert [change.label for change in plain] == ["queens"]


def test_days_are_shown_with_their_weekday():
    colony = ColonyFactory(started_on=date(2026, 6, 1))
    colony.started_on = date(2026, 6, 2)
    colony.save()

    assert history_rows(colony)[0].changes == (Change("started on", "Mon 1 Jun 2026", "Tue 2 Jun 2026"),)


def test_instants_are_shown_with_their_hour():
    order = OrderFactory(deposit_complete_at=None)
    order.deposit_complete_at = datetime(2027, 1, 15, 17, 5, tzinfo=UTC)
    order.save()

    changes = history_rows(order)[0].changes

    assert changes == (Change("deposit complete", "", "Fri 15 Jan 2027, 17:05"),)


def test_what_nobody_signed_is_dated_by_the_desks_own_clock(settings):
    settings.PRETENDED_TODAY = date(2027, 6, 9)

    order = QueenOrderFactory()

    assert history_rows(order)[0].when.date() == date(2027, 6, 9)
