"""Posting: balanced, into an open period, each purpose of a source once."""

from datetime import date

import pytest

from apiary_ops.books import queries, services
from apiary_ops.books.models import Entry, Line
from apiary_ops.books.services import EntryDraft, Posting
from tests.factories.books import PeriodFactory
from tests.factories.business import BusinessFactory, SeasonFactory
from tests.factories.people import UserFactory

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("chart")]

DAY = date(2027, 1, 9)


@pytest.fixture
def season():
    PeriodFactory()
    return SeasonFactory()


def deposit(season, cents=7500, **changes):
    values = {
        "source": "order:2027-0001",
        "purpose": "deposit",
        "posted_on": DAY,
        "season_id": season.pk,
        "memo": "Deposit",
        "postings": [Posting("bank", cents), Posting("deposits-held", -cents, subject="order:2027-0001")],
        "actor": None,
    }
    return services.post_entry(**values | changes)


def test_an_entry_moves_value_between_accounts(season):
    keeper = UserFactory(bookkeeper=True)

    entry = deposit(season, actor=keeper)

    assert queries.balance("bank") == 7500
    assert queries.balance("deposits-held") == -7500
    assert queries.balance("deposits-held", subject="order:2027-0001") == -7500
    assert queries.balance("deposits-held", subject="order:2027-0002") == 0
    assert entry.recorded_by == keeper
    assert [line.season for line in entry.lines.order_by("pk")] == [season, season]


def test_a_posting_may_belong_to_another_season_than_its_entry(season):
    next_season = SeasonFactory(year=2028)

    deposit(season, postings=[Posting("bank", 100), Posting("deposits-held", -100, season_id=next_season.pk)])

    assert queries.balance("deposits-held", season_id=season.pk) == 0
    assert queries.balance("deposits-held", season_id=next_season.pk) == -100


def test_postings_of_zero_are_dropped(season):
    entry = deposit(season, postings=[Posting("bank", 100), Posting("tax-due", 0), Posting("nuc-sales", -100)])

    assert entry.lines.count() == 2


def test_an_entry_of_zeros_is_refused(season):
    with pytest.raises(services.NothingToPost, match="every amount is zero"):
        deposit(season, cents=0)


def test_an_entry_that_does_not_balance_is_refused_with_where_to_look(season):
    BusinessFactory()

    with pytest.raises(services.Unbalanced) as refusal:
        deposit(season, postings=[Posting("bank", 5300_00), Posting("owner-capital", -3500_00)])

    assert str(refusal.value) == (
        "Debits come to 5,300.00 and credits to 3,500.00; they differ by 1,800.00. "
        "Perhaps two digits of an amount changed places. Correct the lines."
    )
    assert Entry.objects.count() == 0


def test_an_account_that_is_not_in_the_chart_is_refused(season):
    with pytest.raises(services.UnknownAccount, match="no account “honey-sales”"):
        deposit(season, postings=[Posting("bank", 1), Posting("honey-sales", -1)])


def test_a_day_of_no_fiscal_year_is_refused(season):
    with pytest.raises(services.NoPeriod, match="No fiscal year holds Sat 1 Jan 2033"):
        deposit(season, posted_on=date(2033, 1, 1))


def test_a_locked_period_takes_no_entry(season):
    services.lock_period(period_id=queries.period_of(DAY).pk, actor=UserFactory())

    with pytest.raises(services.PeriodLocked, match="Sat 9 Jan 2027 lies in a locked period"):
        deposit(season)


def test_a_source_posts_each_purpose_once(season):
    deposit(season)

    with pytest.raises(services.AlreadyPosted, match="order:2027-0001 has already posted its deposit"):
        deposit(season)

    deposit(season, purpose="refund")
    assert Line.objects.count() == 4


def test_many_entries_are_posted_in_a_few_statements(season, django_assert_max_num_queries):
    drafts = [
        EntryDraft(f"order:2027-{number:04}", "deposit", DAY, season.pk, "Deposit", [
            Posting("bank", number), Posting("deposits-held", -number),
        ])
        for number in range(1, 201)
    ]  # fmt: skip

    with django_assert_max_num_queries(14):
        entries = services.post_entries(drafts, actor=None)

    assert len(entries) == 200
    assert queries.balance("bank") == 200 * 201 // 2


def test_of_many_entries_all_or_none_are_posted(season):
    good = EntryDraft("order:1", "deposit", DAY, season.pk, "", [Posting("bank", 1), Posting("deposits-held", -1)])
    bad = EntryDraft("order:2", "deposit", DAY, season.pk, "", [Posting("bank", 1), Posting("deposits-held", -2)])

    with pytest.raises(services.Unbalanced):
        services.post_entries([good, bad], actor=None)

    assert Entry.objects.count() == 0


def test_no_entries_post_nothing(season):
    assert services.post_entries([], actor=None) == []
