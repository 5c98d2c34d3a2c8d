"""A mistake is put right by its mirror image, never by a change."""

from datetime import date
from uuid import UUID

import pytest

from apiary_ops.books import queries, services
from apiary_ops.books.services import Posting
from apiary_ops.core.once import AlreadyDone
from tests.factories.books import PeriodFactory
from tests.factories.business import SeasonFactory
from tests.factories.people import UserFactory

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("chart")]


@pytest.fixture
def entry():
    PeriodFactory()
    return services.post_entry(
        source="bill:7",
        purpose="bill",
        posted_on=date(2027, 3, 1),
        season_id=SeasonFactory().pk,
        memo="Queens",
        postings=[
            Posting("queens-on-hand", 50_00, subject="lot:A", foreign_cents=3700, foreign_currency="USD"),
            Posting("payable", -50_00, subject="supplier:3"),
        ],
        actor=None,
    )


def test_a_reversal_mirrors_every_line_on_its_own_day(entry):
    reversal = services.reverse_entry(
        entry_id=entry.pk, reversed_on=date(2027, 3, 9), memo="Entered twice", actor=UserFactory()
    )

    assert reversal.posted_on == date(2027, 3, 9)
    assert reversal.source == "bill:7"
    assert reversal.purpose == "reversal of bill"
    assert [(line.account.key, line.cents, line.subject, line.foreign_cents) for line in reversal.lines.all()] == [
        ("queens-on-hand", -50_00, "lot:A", -3700),
        ("payable", 50_00, "supplier:3", None),
    ]
    assert queries.balance("payable", subject="supplier:3") == 0
    assert queries.balance("payable", until=date(2027, 3, 8)) == -50_00
    assert queries.entry(entry.pk).reversed_by == reversal


def test_an_entry_is_reversed_once(entry):
    services.reverse_entry(entry_id=entry.pk, reversed_on=date(2027, 3, 9), memo="Wrong", actor=None)

    with pytest.raises(services.AlreadyReversed, match="already reversed"):
        services.reverse_entry(entry_id=entry.pk, reversed_on=date(2027, 3, 10), memo="Wrong", actor=None)


def test_a_reversal_is_not_reversed(entry):
    reversal = services.reverse_entry(entry_id=entry.pk, reversed_on=date(2027, 3, 9), memo="Wrong", actor=None)

    with pytest.raises(services.IsAReversal, match="Post the right entry anew"):
        services.reverse_entry(entry_id=reversal.pk, reversed_on=date(2027, 3, 9), memo="Wrong", actor=None)


def test_the_reversal_of_an_entry_in_a_locked_period_stands_in_an_open_one():
    services.open_fiscal_year(year=2027, starts_on=date(2027, 1, 1))
    entry = services.post_entry(
        source="bill:8",
        purpose="bill",
        posted_on=date(2027, 1, 31),
        season_id=SeasonFactory().pk,
        memo="Rent",
        postings=[Posting("rent", 100), Posting("payable", -100)],
        actor=None,
    )
    services.lock_period(period_id=entry.period_id, actor=UserFactory())

    with pytest.raises(services.PeriodLocked):
        services.reverse_entry(entry_id=entry.pk, reversed_on=date(2027, 1, 31), memo="Wrong", actor=None)

    reversal = services.reverse_entry(entry_id=entry.pk, reversed_on=date(2027, 2, 1), memo="Wrong", actor=None)
    assert str(reversal.period) == "Feb 2027"


def test_a_reversal_sent_twice_is_carried_out_once(entry):
    key = UUID(int=5)
    services.reverse_entry(entry_id=entry.pk, reversed_on=date(2027, 3, 9), memo="Wrong", actor=None, once_key=key)

    with pytest.raises(AlreadyDone):
        services.reverse_entry(entry_id=entry.pk, reversed_on=date(2027, 3, 9), memo="Wrong", actor=None, once_key=key)
