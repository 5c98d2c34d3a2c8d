"""The books against a published month: Printing Plus, January 2019, from the first entry to the closed trial balance.

Source of every figure: Franklin, Graybeal, Cooper, Principles of Accounting, Volume 1: Financial Accounting
(OpenStax, Rice University 2019), sections 3.4-3.6, 4.2-4.5, 5.1-5.2 and 7.3. Amounts there are whole dollars.
"""

from datetime import date

import pytest
from django.db import connection

from apiary_ops.books import compute, queries, services
from apiary_ops.books.models import Account
from apiary_ops.books.services import EntryDraft, Posting
from tests.factories.books import AccountFactory
from tests.factories.business import SeasonFactory

pytestmark = pytest.mark.django_db

Kind = Account.Kind
ACCOUNTS = {
    "cash": Kind.ASSET,
    "receivable": Kind.ASSET,
    "interest-receivable": Kind.ASSET,
    "supplies": Kind.ASSET,
    "equipment": Kind.ASSET,
    "payable": Kind.LIABILITY,
    "salaries-payable": Kind.LIABILITY,
    "unearned-revenue": Kind.LIABILITY,
    "common-stock": Kind.EQUITY,
    "retained-earnings": Kind.EQUITY,
    "service-revenue": Kind.INCOME,
    "interest-revenue": Kind.INCOME,
    "supplies-expense": Kind.EXPENSE,
    "depreciation": Kind.EXPENSE,
    "salaries": Kind.EXPENSE,
    "utilities": Kind.EXPENSE,
}
CONTRA = {"accumulated-depreciation": Kind.ASSET, "dividends": Kind.EQUITY}

# Day of January, debit, credit, dollars, cash afterwards.
JANUARY = [
    (3, "cash", "common-stock", 20_000, 20_000),
    (5, "equipment", "payable", 3_500, 20_000),
    (9, "cash", "unearned-revenue", 4_000, 24_000),
    (10, "receivable", "service-revenue", 5_500, 24_000),
    (12, "utilities", "cash", 300, 23_700),
    (14, "dividends", "cash", 100, 23_600),
    (17, "cash", "service-revenue", 2_800, 26_400),
    (18, "payable", "cash", 3_500, 22_900),
    (20, "salaries", "cash", 3_600, 19_300),
    (23, "cash", "receivable", 5_500, 24_800),
    (27, "receivable", "service-revenue", 1_200, 24_800),
    (30, "supplies", "payable", 500, 24_800),
]
UNADJUSTED = {
    "cash": 24_800,
    "receivable": 1_200,
    "supplies": 500,
    "equipment": 3_500,
    "dividends": 100,
    "salaries": 3_600,
    "utilities": 300,
    "payable": -500,
    "unearned-revenue": -4_000,
    "common-stock": -20_000,
    "service-revenue": -9_500,
}
ADJUSTING = [
    ("supplies-expense", "supplies", 100),
    ("depreciation", "accumulated-depreciation", 75),
    ("unearned-revenue", "service-revenue", 600),
    ("interest-receivable", "interest-revenue", 140),
    ("salaries", "salaries-payable", 1_500),
]
ADJUSTED = {
    "cash": 24_800,
    "receivable": 1_200,
    "interest-receivable": 140,
    "supplies": 400,
    "equipment": 3_500,
    "accumulated-depreciation": -75,
    "payable": -500,
    "salaries-payable": -1_500,
    "unearned-revenue": -3_400,
    "common-stock": -20_000,
    "dividends": 100,
    "service-revenue": -10_100,
    "interest-revenue": -140,
    "supplies-expense": 100,
    "depreciation": 75,
    "salaries": 5_100,
    "utilities": 300,
}
CLOSED = {
    "cash": 24_800,
    "receivable": 1_200,
    "interest-receivable": 140,
    "supplies": 400,
    "equipment": 3_500,
    "accumulated-depreciation": -75,
    "payable": -500,
    "salaries-payable": -1_500,
    "unearned-revenue": -3_400,
    "common-stock": -20_000,
    "retained-earnings": -4_565,
}


@pytest.fixture
def season():
    for key, kind in ACCOUNTS.items():
        AccountFactory(key=key, kind=kind)
    for key, kind in CONTRA.items():
        AccountFactory(key=key, kind=kind, is_contra=True)
    services.open_fiscal_year(year=2019, starts_on=date(2019, 1, 1))
    return SeasonFactory(year=2019)


def post(season, number, day, debit, credit, dollars, subject=""):
    return services.post_entry(
        source=f"example:{number}",
        purpose="entry",
        posted_on=day,
        season_id=season.pk,
        memo="",
        postings=[Posting(debit, dollars * 100, subject), Posting(credit, -dollars * 100, subject)],
        actor=None,
    )


def post_january(season):
    for number, (day, debit, credit, dollars, _cash) in enumerate(JANUARY, start=1):
        post(season, number, date(2019, 1, day), debit, credit, dollars)


def adjust(season):
    drafts = [
        EntryDraft("example:adjusting", f"{debit} {credit}"[:40], date(2019, 1, 31), season.pk, "", [
            Posting(debit, dollars * 100), Posting(credit, -dollars * 100),
        ])
        for debit, credit, dollars in ADJUSTING
    ]  # fmt: skip
    services.post_entries(drafts, actor=None)


def standing(**chosen):
    """Dollars by account, those at zero left out."""
    return {row.account.key: row.cents / 100 for row in queries.trial_balance(**chosen) if row.cents}


def column_totals(**chosen):
    rows = queries.trial_balance(**chosen)
    return sum(row.debit_cents for row in rows) / 100, sum(row.credit_cents for row in rows) / 100


def test_cash_after_each_entry_is_the_published_one(season):
    for number, (day, debit, credit, dollars, cash) in enumerate(JANUARY, start=1):
        post(season, number, date(2019, 1, day), debit, credit, dollars)

        assert queries.balance("cash") == cash * 100


def test_the_unadjusted_trial_balance_is_the_published_one(season):
    post_january(season)

    assert standing() == UNADJUSTED
    assert column_totals() == (34_000, 34_000)


def test_the_adjusted_trial_balance_is_the_published_one(season):
    post_january(season)
    adjust(season)

    assert standing() == ADJUSTED
    assert column_totals() == (35_715, 35_715)
    assert standing(until=date(2019, 1, 30)) == UNADJUSTED


def test_the_closed_trial_balance_is_the_published_one(season):
    post_january(season)
    adjust(season)

    entries = services.close_fiscal_year(year=2019, actor=None)

    assert [(entry.purpose, entry.moved_cents / 100) for entry in entries] == [
        ("closing income", 10_240),
        ("closing expense", 5_575),
        ("closing drawings", 100),
    ]
    assert standing() == CLOSED
    assert column_totals() == (30_040, 30_040)
    assert standing(before_closing=True) == ADJUSTED
    connection.check_constraints()


def test_a_closed_year_is_closed_once_and_a_reversed_closing_opens_it_again(season):
    post_january(season)
    entries = services.close_fiscal_year(year=2019, actor=None)

    with pytest.raises(services.NothingToClose):
        services.close_fiscal_year(year=2019, actor=None)
    for entry in entries:
        services.reverse_entry(entry_id=entry.pk, reversed_on=date(2019, 12, 31), memo="Too early", actor=None)

    assert standing() == UNADJUSTED
    assert standing(before_closing=True) == UNADJUSTED
    services.close_fiscal_year(year=2019, actor=None)
    assert queries.balance("retained-earnings") == -(9_500 - 3_900 - 100) * 100


def test_dividends_on_the_wrong_side_are_found_by_half_the_difference():
    amounts = [dollars * 100 for dollars in {**UNADJUSTED, "dividends": -100}.values()]

    assert compute.sides(amounts) == (33_900_00, 34_100_00)
    assert compute.likely_slips(amounts) == [compute.Slip("wrong side", 100_00)]


def test_equipment_with_two_digits_changed_over_is_found_by_nine():
    amounts = [dollars * 100 for dollars in {**UNADJUSTED, "equipment": 5_300}.values()]

    assert compute.sides(amounts) == (35_800_00, 34_000_00)
    assert compute.likely_slips(amounts) == [compute.Slip("transposed", 0)]


@pytest.mark.parametrize(
    ("key", "moves", "balances"),
    [
        ("cash", [9_500, -3_500, 1_750, -5_800, 500, -1_500, -1_200], [9_500, 6_000, 7_750, 1_950, 2_450, 950, -250]),
        ("receivable", [4_500, 3_650, -4_250, -3_500, 825], [4_500, 8_150, 3_900, 400, 1_225]),
        ("payable", [1_500, 875, -500, 325, -650], [1_500, 2_375, 1_875, 2_200, 1_550]),
    ],
)
def test_the_balance_runs_as_published_and_is_flagged_below_zero(season, key, moves, balances):
    account = queries.accounts().get(key=key)
    for number, dollars in enumerate(moves):
        post(season, number, date(2019, 1, 1 + number), key, "common-stock", account.sign * dollars)

    lines = queries.with_running_balance(queries.lines(account_keys=[key]), account)
    row = next(row for row in queries.trial_balance() if row.account == account)

    assert [line.running_cents / 100 for line in reversed(lines)] == balances
    assert row.own_cents == balances[-1] * 100
    assert row.is_below_zero is (balances[-1] < 0)


def test_the_control_account_is_the_sum_of_the_customers_ledgers(season):
    AccountFactory(key="sales-discount", kind=Kind.INCOME, is_contra=True)
    for number, dollars in enumerate([7_200, 5_200, 3_780], start=1):
        post(season, f"sale-{number}", date(2019, 1, 2), "receivable", "service-revenue", dollars, f"buyer:{number}")
    assert queries.balance("receivable") == 16_180_00

    post(season, "receipt-1", date(2019, 1, 9), "cash", "receivable", 7_200, "buyer:1")
    services.post_entry(
        source="example:receipt-2",
        purpose="entry",
        posted_on=date(2019, 1, 9),
        season_id=season.pk,
        memo="Paid within the discount days",
        postings=[
            Posting("cash", 5_096_00),
            Posting("sales-discount", 104_00),
            Posting("receivable", -5_200_00, subject="buyer:2"),
        ],
        actor=None,
    )

    ledgers = queries.subject_balances("receivable", starts_with="buyer:")
    assert ledgers == {"buyer:1": 0, "buyer:2": 0, "buyer:3": 3_780_00}
    assert queries.balance("receivable") == sum(ledgers.values()) == 3_780_00
    assert list(queries.open_subjects(queries.accounts().get(key="receivable"))) == [
        {"subject": "buyer:3", "cents": 3_780_00}
    ]
