"""What the database itself refuses, whichever code asks."""

from datetime import date, timedelta
from uuid import uuid4

import pytest
from django.db import IntegrityError, connection, transaction

from apiary_ops.books import queries, services
from apiary_ops.books.models import Account, Entry, Line, Period, Seal, Series
from apiary_ops.books.services import Posting
from tests.factories.books import PeriodFactory
from tests.factories.business import SeasonFactory
from tests.factories.people import UserFactory

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("chart")]

DAY = date(2027, 1, 9)


@pytest.fixture
def unsealed():
    """An entry and its season, as it stands before lines and seal are written."""
    return Entry.objects.create(
        posted_on=DAY, period=PeriodFactory(), source="test:1", purpose="test", memo="", sealed_id=uuid4()
    )


@pytest.fixture
def sealed():
    PeriodFactory()
    postings = [Posting("bank", 100), Posting("nuc-sales", -100)]
    return services.post_entry(
        source="test:2",
        purpose="test",
        posted_on=DAY,
        season_id=SeasonFactory().pk,
        memo="",
        postings=postings,
        actor=None,
    )


def write_line(entry, key, cents):
    account = Account.objects.get(key=key)
    return Line.objects.create(entry=entry, account=account, season=SeasonFactory(), cents=cents)


def refused(match):
    return pytest.raises(IntegrityError, match=match)


def test_an_entry_without_its_seal_cannot_commit(unsealed):
    write_line(unsealed, "bank", 100)
    write_line(unsealed, "nuc-sales", -100)

    with pytest.raises(IntegrityError), transaction.atomic():
        connection.check_constraints()

    Seal.objects.create(id=unsealed.sealed_id)
    connection.check_constraints()


def test_lines_that_do_not_sum_to_zero_are_not_sealed(unsealed):
    write_line(unsealed, "bank", 100)
    write_line(unsealed, "nuc-sales", -99)

    with refused("sum to zero"), transaction.atomic():
        Seal.objects.create(id=unsealed.sealed_id)

    write_line(unsealed, "rounding", -1)
    Seal.objects.create(id=unsealed.sealed_id)


def test_an_entry_without_lines_is_not_sealed(unsealed):
    with refused("at least two lines"), transaction.atomic():
        Seal.objects.create(id=unsealed.sealed_id)

    write_line(unsealed, "bank", 100)
    write_line(unsealed, "bank", -100)
    Seal.objects.create(id=unsealed.sealed_id)


def test_a_seal_does_not_come_before_its_entry():
    with refused("at least two lines"), transaction.atomic():
        Seal.objects.create()


@pytest.mark.parametrize(
    ("table", "change"),
    [
        (Entry, {"memo": "Another story"}),
        (Entry, {"posted_on": DAY + timedelta(days=1)}),
        (Line, {"cents": 1}),
        (Line, {"subject": "buyer:2"}),
        (Seal, {"id": uuid4()}),
    ],
)
def test_a_sealed_entry_never_changes(sealed, table, change):
    with refused("never"), transaction.atomic():
        table.objects.update(**change)


@pytest.mark.parametrize("table", [Line, Entry, Seal])
def test_a_sealed_entry_is_never_deleted(sealed, table):
    with refused("never"), transaction.atomic():
        table.objects.all()._raw_delete(using="default")


def test_a_sealed_entry_takes_no_more_lines(sealed):
    with refused("takes no more lines"), transaction.atomic():
        write_line(sealed, "bank", 100)


def test_a_line_of_zero_is_refused(unsealed):
    with refused("a_posting_is_never_zero"), transaction.atomic():
        write_line(unsealed, "bank", 0)

    write_line(unsealed, "bank", 100)
    write_line(unsealed, "cash", -100)
    Seal.objects.create(id=unsealed.sealed_id)


def test_an_entry_cannot_slip_into_a_locked_period():
    period = PeriodFactory()
    services.lock_period(period_id=period.pk, actor=UserFactory())

    with refused("period is locked"), transaction.atomic():
        Entry.objects.create(posted_on=DAY, period=period, source="test:1", purpose="t", memo="", sealed_id=uuid4())


def test_the_day_of_an_entry_lies_in_its_period():
    period = PeriodFactory()

    with refused("lies in its period"), transaction.atomic():
        Entry.objects.create(
            posted_on=period.ends_before, period=period, source="test:1", purpose="t", memo="", sealed_id=uuid4()
        )


def test_a_locked_period_cannot_be_opened_again():
    period = PeriodFactory()
    services.lock_period(period_id=period.pk, actor=UserFactory())

    with refused("stays locked"), transaction.atomic():
        Period.objects.update(locked_at=None)


def test_the_days_of_a_period_never_change():
    PeriodFactory()

    with refused("never change"), transaction.atomic():
        Period.objects.update(ends_before=date(2028, 1, 1))


def test_a_period_is_never_deleted():
    period = PeriodFactory()

    with refused("never deleted"), transaction.atomic():
        period.delete()


def test_periods_do_not_overlap():
    period = PeriodFactory()

    with refused("do not overlap"), transaction.atomic():
        Period.objects.create(
            fiscal_year=2028, starts_on=period.ends_before - timedelta(days=1), ends_before=date(2028, 10, 1)
        )

    Period.objects.create(fiscal_year=2028, starts_on=period.ends_before, ends_before=date(2028, 10, 1))


@pytest.mark.parametrize("number", [0, 1, 3])
def test_a_series_moves_on_by_one_at_a_time(number):
    PeriodFactory()
    services.next_number(series="invoice", day=DAY)

    with refused("one number at a time"), transaction.atomic():
        Series.objects.update(last_number=number)

    Series.objects.update(last_number=2)


def test_a_series_is_never_deleted():
    PeriodFactory()
    services.next_number(series="invoice", day=DAY)

    with refused("never deleted"), transaction.atomic():
        Series.objects.all().delete()


def test_a_series_starts_at_zero():
    with refused("starts at zero"), transaction.atomic():
        Series.objects.create(code="invoice", year=2027, last_number=7)


def test_what_an_account_is_never_changes():
    with refused("never changes"), transaction.atomic():
        Account.objects.filter(key="bank").update(kind="liability")

    Account.objects.filter(key="bank").update(name="Village bank")
    assert queries.accounts().get(key="bank").name == "Village bank"
