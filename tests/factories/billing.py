"""Orders ready for money: a business with its books open. Deposits and papers themselves come from the services."""

from decimal import Decimal

from apiary_ops.books.services import install_chart
from apiary_ops.orders.models import Order
from tests.factories.books import PeriodFactory
from tests.factories.business import BusinessFactory, TaxCategoryFactory, TaxRateFactory
from tests.factories.orders import LineFactory, OrderFactory


def open_books() -> None:
    """A business, the chart of accounts and one period over the whole season."""
    BusinessFactory()
    install_chart()
    PeriodFactory()


def order_of(*quantities: int, price_cents: int = 29500, percent: str = "0", **changes) -> Order:
    """An order with a line for each quantity, 75.00 a nuc asked as deposit, all lines promised."""
    category = TaxCategoryFactory(
        code="zero" if percent == "0" else "standard",
        name="zero rated" if percent == "0" else "standard rate",
        en16931_code="Z" if percent == "0" else "S",
    )
    if not category.rates.exists():
        TaxRateFactory(category=category, percent=Decimal(percent))
    order = OrderFactory(**{"deposit_due_cents": 7500 * sum(quantities), **changes})
    for quantity in quantities:
        LineFactory(order=order, quantity=quantity, price_cents=price_cents, tax_category=category, state="promised")
    return order
