"""The chart of the trade, fiscal years of twelve periods, and numbers without gaps."""

from datetime import date

import pytest
from django.db import transaction

from apiary_ops.books import queries, services
from apiary_ops.books.models import Account, Series
from tests.factories.books import PeriodFactory
from tests.factories.people import UserFactory

pytestmark = pytest.mark.django_db


def test_the_chart_is_installed_once():
    first = services.install_chart()
    Account.objects.filter(key="bank").update(name="Village bank")

    again = services.install_chart()

    assert (first, again) == (36, 0)
    assert queries.accounts().get(key="bank").name == "Village bank"


def test_each_cost_says_how_it_reaches_a_nuc():
    services.install_chart()

    by_class = {}
    for account in queries.accounts().exclude(cost_class=""):
        by_class.setdefault(account.cost_class, []).append(account.key)

    assert by_class == {
        "direct": ["cost-of-nucs", "nuc-losses", "boxes-and-combs", "spring-feed"],
        "bees": ["autumn-feed", "mite-treatment", "winter-losses"],
        "pooled": ["labour", "mileage", "rent", "insurance", "inspection"],
    }


def test_accounts_know_their_side():
    services.install_chart()

    assert queries.accounts().get(key="bank").is_debit_normal is True
    assert queries.accounts().get(key="accumulated-depreciation").is_debit_normal is False
    assert queries.accounts().get(key="deposits-held").is_debit_normal is False
    assert queries.accounts().get(key="owner-drawings").is_debit_normal is True
    assert queries.accounts().get(key="nuc-sales").is_debit_normal is False
    assert queries.accounts().get(key="rent").is_debit_normal is True


def test_a_fiscal_year_has_twelve_months():
    months = services.open_fiscal_year(year=2027, starts_on=date(2026, 10, 1))

    assert [str(month) for month in (months[0], months[3], months[11])] == ["Oct 2026", "Jan 2027", "Sep 2027"]
    assert [month.ends_before for month in months[:2]] == [date(2026, 11, 1), date(2026, 12, 1)]
    assert months[11].ends_before == date(2027, 10, 1)
    assert {month.fiscal_year for month in months} == {2027}


def test_a_fiscal_year_is_opened_once():
    services.open_fiscal_year(year=2027, starts_on=date(2027, 1, 1))

    with pytest.raises(services.FiscalYearExists):
        services.open_fiscal_year(year=2027, starts_on=date(2028, 1, 1))
    with pytest.raises(services.FiscalYearExists):
        services.open_fiscal_year(year=2028, starts_on=date(2027, 12, 1))


def test_a_fiscal_year_starts_on_the_first_of_a_month():
    with pytest.raises(ValueError, match="first of a month"):
        services.open_fiscal_year(year=2027, starts_on=date(2027, 1, 2))


def test_a_period_is_locked_once_and_says_by_whom():
    owner = UserFactory()
    period = PeriodFactory()

    locked = services.lock_period(period_id=period.pk, actor=owner)

    assert locked.locked_by == owner
    with pytest.raises(services.PeriodAlreadyLocked, match="stays so"):
        services.lock_period(period_id=period.pk, actor=owner)


def test_numbers_run_from_one_in_each_series_and_year():
    services.open_fiscal_year(year=2027, starts_on=date(2026, 10, 1))
    services.open_fiscal_year(year=2028, starts_on=date(2027, 10, 1))

    given = [
        services.next_number(series="invoice", day=date(2026, 12, 31)),
        services.next_number(series="invoice", day=date(2027, 9, 30)),
        services.next_number(series="receipt", day=date(2027, 9, 30)),
        services.next_number(series="invoice", day=date(2027, 10, 1)),
    ]

    assert given == [(2027, 1), (2027, 2), (2027, 1), (2028, 1)]


def test_a_number_whose_paper_was_not_issued_is_given_again():
    services.open_fiscal_year(year=2027, starts_on=date(2026, 10, 1))
    services.next_number(series="invoice", day=date(2027, 1, 1))

    with transaction.atomic():
        services.next_number(series="invoice", day=date(2027, 1, 1))
        transaction.set_rollback(True)

    assert services.next_number(series="invoice", day=date(2027, 1, 1)) == (2027, 2)
    assert Series.objects.get().last_number == 2


def test_no_number_is_given_outside_the_fiscal_years():
    with pytest.raises(services.NoPeriod, match="No fiscal year holds Fri 1 Jan 2027"):
        services.next_number(series="invoice", day=date(2027, 1, 1))
