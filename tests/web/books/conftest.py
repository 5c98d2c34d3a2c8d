from datetime import date

import pytest

from apiary_ops.books import services
from apiary_ops.books.services import Posting
from tests.factories.books import PeriodFactory
from tests.factories.business import BusinessFactory, SeasonFactory
from tests.factories.people import UserFactory


@pytest.fixture
def keeper(client, chart):
    """A bookkeeper at the desk, with a period to post into."""
    BusinessFactory()
    SeasonFactory()
    PeriodFactory()
    user = UserFactory(bookkeeper=True)
    client.force_login(user)
    return user


@pytest.fixture
def post():
    """Post an entry: `post("order:1", 75_00)` is a deposit paid into the bank."""

    def post(source, cents, *, debit="bank", credit="deposits-held", on=date(2027, 1, 9), memo="Deposit", subject=""):
        return services.post_entry(
            source=source,
            purpose="deposit",
            posted_on=on,
            season_id=SeasonFactory().pk,
            memo=memo,
            postings=[Posting(debit, cents), Posting(credit, -cents, subject=subject or source)],
            actor=None,
        )

    return post
