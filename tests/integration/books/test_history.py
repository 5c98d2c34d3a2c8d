"""Whatever is posted and reversed, in whatever order, both sides come to the same."""

from datetime import date, timedelta

import pytest
from django.db import connection, transaction
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from apiary_ops.books import queries, services
from apiary_ops.books.models import Entry
from apiary_ops.books.services import Posting
from apiary_ops.kernel.refusals import RuleBroken
from tests.factories.books import PeriodFactory
from tests.factories.business import SeasonFactory

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("chart")]

KEYS = ["bank", "cash", "deposits-held", "nuc-sales", "cost-of-nucs", "payable"]
amounts = st.integers(-(10**12), 10**12)
draft = st.lists(st.tuples(st.sampled_from(KEYS), amounts), min_size=1, max_size=4)
posts = st.tuples(st.just("post"), draft, st.integers(0, 300))
reversals = st.tuples(st.just("reverse"), st.integers(0, 9), st.integers(0, 300))
slips = st.tuples(st.just("slip"), draft, st.integers(0, 300))


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.lists(st.one_of(posts, reversals, slips), max_size=12))
def test_any_history_of_posts_and_reversals_leaves_the_trial_balance_at_zero(history):
    with transaction.atomic():
        PeriodFactory()
        season = SeasonFactory()
        expected = dict.fromkeys(KEYS, 0)
        posted: list[tuple[Entry, list[tuple[str, int]]]] = []

        for number, (act, what, days) in enumerate(history):
            day = date(2026, 10, 1) + timedelta(days=days)
            moved = carry_out(act, what, day, season, number, posted)
            for key, cents in moved:
                expected[key] += cents

        rows = queries.trial_balance()
        assert sum(row.cents for row in rows) == 0
        assert {row.account.key: row.cents for row in rows if row.account.key in KEYS} == expected
        assert Entry.objects.filter(reverses=None).count() == len(posted)
        connection.check_constraints()
        transaction.set_rollback(True)


def carry_out(act, what, day, season, number, posted):
    """Do one thing to the books; returns what it should have moved, nothing when it is refused."""
    try:
        if act == "reverse":
            if not posted:
                return []
            entry, moved = posted[what % len(posted)]
            services.reverse_entry(entry_id=entry.pk, reversed_on=day, memo="", actor=None)
            return [(key, -cents) for key, cents in moved]
        balanced = [] if act == "slip" else [("cash", -sum(cents for _key, cents in what))]
        moved = [*what, *balanced]
        entry = services.post_entry(
            source=f"history:{number}",
            purpose="entry",
            posted_on=day,
            season_id=season.pk,
            memo="",
            postings=[Posting(key, cents) for key, cents in moved],
            actor=None,
        )
    except RuleBroken:
        return []
    posted.append((entry, moved))
    return moved
