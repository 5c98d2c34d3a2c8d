"""What every act with money shares: accounts by method, locks in their order, amounts in words, receipts."""

from datetime import date
from typing import Any

from django.utils.translation import gettext as _

from apiary_ops.billing import compute
from apiary_ops.billing.models import Deposit, Receipt
from apiary_ops.books import services as books
from apiary_ops.books.models import Entry
from apiary_ops.business import queries as business_queries
from apiary_ops.business.models import Business
from apiary_ops.kernel.money import Money
from apiary_ops.kernel.ref import Ref
from apiary_ops.kernel.refusals import RuleBroken
from apiary_ops.orders.models import Order
from apiary_ops.people.models import User

# Where money of each kind arrives, and leaves from. A cheque counts as in the bank on the day it is taken.
ACCOUNTS = {"cash": "cash", "transfer": "bank", "cheque": "bank", "card": "card-clearing"}


class NoAmount(RuleBroken):
    """An amount of zero or below."""


def check_amount(cents: int) -> None:
    """Raises NoAmount unless the amount is above zero."""
    if cents <= 0:
        raise NoAmount(_("The amount must be more than zero."))


def in_words(cents: int) -> str:
    """Cents as the business writes money."""
    return str(Money(cents, business_queries.business().currency))


def buyer_subject(order: Order) -> str:
    """The buyer's subject on the account of what is owed."""
    return str(Ref("buyer", str(order.buyer_id)))


def order_subject(order: Order) -> str:
    """The order's subject on the account of deposits held."""
    return str(Ref("order", order.number))


def lock_deposit(order: Order) -> Deposit:
    """The deposit of a locked order, made if there is none, under its own lock."""
    Deposit.objects.get_or_create(order=order)
    return Deposit.objects.select_for_update(no_key=True).get(order=order)


def seller_as_printed(business: Business) -> dict[str, Any]:
    """Who we are, as a paper freezes it."""
    return {
        "name": business.name,
        "address": business.address_lines,
        "phone": business.phone,
        "email": business.email,
        "registration": business.registration,
        "payment_instructions": business.payment_instructions,
        "cautions": business.caution_lines,
    }


def write_receipt(
    *, order: Order, entry: Entry, received_on: date, method: str, cents: int, purpose: str, actor: User
) -> Receipt:
    """The next receipt of the fiscal year; its number is the last thing taken."""
    business = business_queries.business()
    year, serial = books.next_number(series="receipt", day=received_on)
    return Receipt.objects.create(
        series_year=year,
        serial=serial,
        number=compute.receipt_number(year, serial),
        order=order,
        buyer_id=order.buyer_id,
        received_on=received_on,
        method=method,
        cents=cents,
        purpose=purpose,
        currency=business.currency,
        seller=seller_as_printed(business),
        buyer_name=order.buyer.name,
        entry=entry,
        issued_by=actor,
    )
