from datetime import UTC, date, datetime

import pytest

from apiary_ops.billing import services
from tests.factories.billing import open_books
from tests.factories.business import SeasonFactory


@pytest.fixture
def season(settings):
    """The books are open, and today is a Saturday in June, after refunds ended."""
    settings.PRETENDED_TODAY = date(2027, 6, 5)
    open_books()
    return SeasonFactory()


@pytest.fixture
def take(office):
    """Take a deposit: take(order, 15000)."""

    def take(order, cents, on=date(2027, 1, 15)):
        return services.take_deposit(
            order_id=order.pk,
            cents=cents,
            received_on=on,
            received_at=datetime(2027, 1, 15, 12, tzinfo=UTC),
            method="transfer",
            actor=office,
        )

    return take


@pytest.fixture
def hand_over(office):
    """Invoice so many nucs of the order's first line."""

    def hand_over(order, nucs, source="hand-over:1", on=date(2027, 6, 5)):
        return services.issue_invoice(
            order_id=order.pk,
            source=source,
            supplied_on=on,
            issued_on=on,
            quantities={order.lines.order_by("pk").first().pk: nucs},
            actor=office,
        )

    return hand_over
