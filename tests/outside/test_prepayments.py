"""What customers pay ahead is owed to them until they get the goods: published cases, posted through the services.

Sources: OSF = Principles of Accounting, Volume 1 (OpenStax 2019); ASC 606-10-55-284 to 285 (IFRS 15 Example 38), facts
as restated by Deloitte's roadmap, entries from memory; forfeits and refunds: ASC 606-10-55-46 to 49 as restated, the
day a forfeit is earned is our own reading. Amounts there are whole dollars.
"""

from datetime import date

import pytest

from apiary_ops.books import queries, services
from apiary_ops.books.models import Account
from apiary_ops.books.services import Posting
from tests.factories.books import AccountFactory
from tests.factories.business import SeasonFactory

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("chart")]

UNEARNED, REVENUE = "deposits-held", "nuc-sales"


@pytest.fixture
def post():
    for year in (2019, 2020):
        services.open_fiscal_year(year=year, starts_on=date(year, 1, 1))
    season = SeasonFactory(year=2020)
    posted = iter(range(100))

    def post(day, debit, credit, dollars):
        number = next(posted)
        return services.post_entry(
            source=f"example:{number}",
            purpose="entry",
            posted_on=day,
            season_id=season.pk,
            memo="",
            postings=[Posting(debit, dollars * 100), Posting(credit, -dollars * 100)],
            actor=None,
        )

    return post


def owed_to_customers(until=None):
    return -queries.balance(UNEARNED, until=until) / 100


def earned(until=None):
    return -queries.balance(REVENUE, until=until) / 100


def test_paid_ahead_in_full_and_delivered_in_full(post):
    """OSF 12.2: 20 x 30 paid 3 April, delivered 6 May at a cost of 280."""
    post(date(2020, 4, 3), "cash", UNEARNED, 600)
    post(date(2020, 5, 6), UNEARNED, REVENUE, 600)
    post(date(2020, 5, 6), "cost-of-nucs", "nucs-in-hand", 280)

    assert (owed_to_customers(date(2020, 5, 5)), earned(date(2020, 5, 5))) == (600, 0)
    assert (owed_to_customers(), earned()) == (0, 600)
    assert queries.balance("cost-of-nucs") == 280_00


def test_paid_ahead_in_full_and_delivered_in_halves(post):
    """OSF 12.2: half on 6 May, half on 2 June; the debt falls 600, 300, 0."""
    post(date(2020, 4, 3), "cash", UNEARNED, 600)
    for day in (date(2020, 5, 6), date(2020, 6, 2)):
        post(day, UNEARNED, REVENUE, 300)
        post(day, "cost-of-nucs", "nucs-in-hand", 140)

    days = (date(2020, 4, 3), date(2020, 5, 6), date(2020, 6, 2))
    assert [owed_to_customers(day) for day in days] == [600, 300, 0]
    assert [earned(day) for day in days] == [0, 300, 600]
    assert [queries.balance("cost-of-nucs", until=day) for day in days] == [0, 140_00, 280_00]


@pytest.mark.parametrize(("paid_on", "cash", "discount"), [(date(2020, 4, 13), 570, 30), (date(2020, 4, 15), 600, 0)])
def test_invoiced_ahead_with_a_discount_for_paying_early(post, paid_on, cash, discount):
    """OSF 12.2: 5/10 n/30 from 3 April; revenue still only on delivery."""
    AccountFactory(key="sales-discount", kind=Account.Kind.INCOME, is_contra=True)
    post(date(2020, 4, 3), "receivable", UNEARNED, 600)

    services.post_entry(
        source="example:receipt",
        purpose="entry",
        posted_on=paid_on,
        season_id=SeasonFactory(year=2020).pk,
        memo="",
        postings=[
            Posting("cash", cash * 100),
            Posting("sales-discount", discount * 100),
            Posting("receivable", -600_00),
        ],
        actor=None,
    )

    assert (queries.balance("cash"), queries.balance("sales-discount")) == (cash * 100, discount * 100)
    assert queries.balance("receivable") == 0
    assert (owed_to_customers(), earned()) == (600, 0)


def test_a_season_plan_paid_in_autumn_is_earned_in_two_fiscal_years(post):
    """OSF 12.1: 120 paid 15 October 2019, 40 earned 1 November, 1 February and 1 April: 40 in 2019, 80 in 2020."""
    post(date(2019, 10, 15), "cash", UNEARNED, 120)
    for day in (date(2019, 11, 1), date(2020, 2, 1), date(2020, 4, 1)):
        post(day, UNEARNED, REVENUE, 40)

    services.close_fiscal_year(year=2019, actor=None)

    assert queries.balance("retained-earnings") == -40_00
    assert owed_to_customers(date(2019, 12, 31)) == 80
    services.close_fiscal_year(year=2020, actor=None)
    assert queries.balance("retained-earnings") == -120_00
    assert owed_to_customers() == 0


def test_an_advance_for_one_date_is_earned_on_that_date(post):
    """OSF 12.2: 5,500 paid 25 March, earned 10 June."""
    post(date(2020, 3, 25), "cash", UNEARNED, 5_500)
    post(date(2020, 6, 10), UNEARNED, REVENUE, 5_500)

    assert (owed_to_customers(date(2020, 6, 9)), earned(date(2020, 6, 9))) == (5_500, 0)
    assert (owed_to_customers(), earned()) == (0, 5_500)


def test_retainers_partly_earned(post):
    """OSF 4.2: of 48,000 collected 40 % is earned."""
    post(date(2020, 1, 1), "cash", UNEARNED, 48_000)
    post(date(2020, 12, 31), UNEARNED, REVENUE, 19_200)

    assert (owed_to_customers(), earned()) == (28_800, 19_200)


def test_a_contract_the_customer_may_cancel_posts_nothing_until_paid(post):
    """ASC 606-10-55-284: due 31 January, paid 1 March, goods 31 March; no entry on 31 January."""
    post(date(2020, 3, 1), "cash", UNEARNED, 1_000)
    post(date(2020, 3, 31), UNEARNED, REVENUE, 1_000)

    assert queries.balances(until=date(2020, 2, 29))["receivable"] == 0
    assert (owed_to_customers(date(2020, 2, 29)), owed_to_customers(date(2020, 3, 1))) == (0, 1_000)
    assert (owed_to_customers(), earned()) == (0, 1_000)


def test_a_contract_that_binds_the_customer_is_a_claim_from_the_due_day(post):
    """ASC 606-10-55-285: a receivable and a debt of 1,000 on 31 January; paid 1 March, goods 31 March."""
    post(date(2020, 1, 31), "receivable", UNEARNED, 1_000)
    post(date(2020, 3, 1), "cash", "receivable", 1_000)
    post(date(2020, 3, 31), UNEARNED, REVENUE, 1_000)

    january = queries.balances(until=date(2020, 1, 31))
    assert (january["receivable"], january[UNEARNED], january[REVENUE]) == (1_000_00, -1_000_00, 0)
    march = queries.balances(until=date(2020, 3, 1))
    assert (march["receivable"], march["cash"], march[UNEARNED]) == (0, 1_000_00, -1_000_00)
    assert (owed_to_customers(), earned()) == (0, 1_000)


def test_a_refund_touches_no_income(post):
    post(date(2020, 1, 10), "cash", UNEARNED, 150)
    post(date(2020, 2, 10), UNEARNED, "cash", 150)

    balances = queries.balances()
    assert (balances["cash"], balances[UNEARNED]) == (0, 0)
    assert [balances[key] for key in ("nuc-sales", "other-sales", "deposits-kept")] == [0, 0, 0]


def test_a_forfeit_is_income_on_the_day_it_is_forfeited_not_when_it_was_paid(post):
    post(date(2019, 11, 10), "cash", UNEARNED, 150)
    post(date(2020, 3, 2), UNEARNED, "deposits-kept", 150)

    assert queries.balance("deposits-kept", until=date(2020, 3, 1)) == 0
    assert queries.balance("deposits-kept") == -150_00
    assert owed_to_customers() == 0
    assert earned() == 0
