"""Rules of billing: what an invoice adds up to, how a deposit is spread over deliveries, what numbers look like.

Totals follow the core invoice model of EN 16931, rules BR-CO-10 to BR-CO-18: each line is rounded, tax is worked out
on the sum of a category and rounded once, and sums of rounded amounts are not rounded again.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from apiary_ops.kernel.rounding import Exact, exact, percent_of, whole_cents
from apiary_ops.kernel.shares import shares


@dataclass(frozen=True, slots=True)
class TaxedAmount:
    """A line's net in cents with its tax category and rate; an allowance on the whole document is below zero."""

    net_cents: int
    category: str
    percent: Decimal


@dataclass(frozen=True, slots=True)
class CategoryTax:
    """The tax of one category at one rate: the base and the tax on it, in cents."""

    category: str
    percent: Decimal
    net_cents: int
    tax_cents: int


@dataclass(frozen=True, slots=True)
class Totals:
    """What a document adds up to, in cents; `taxes` in the order the categories first appear."""

    net_cents: int
    taxes: tuple[CategoryTax, ...]

    @property
    def tax_cents(self) -> int:
        return sum(tax.tax_cents for tax in self.taxes)

    @property
    def total_cents(self) -> int:
        return self.net_cents + self.tax_cents


def line_net(*, price_cents: Exact, quantity: Exact, base_quantity: Exact = 1) -> int:
    """The net of a line in whole cents, halves up: price for `base_quantity` times quantity."""
    return whole_cents(exact(price_cents) / exact(base_quantity) * exact(quantity))


def document_totals(amounts: Iterable[TaxedAmount]) -> Totals:
    """Totals of a document: one breakdown per category and rate, tax on its sum (BR-CO-13 to BR-CO-18)."""
    bases: dict[tuple[str, Decimal], int] = {}
    for amount in amounts:
        key = (amount.category, amount.percent)
        bases[key] = bases.get(key, 0) + amount.net_cents
    taxes = tuple(
        CategoryTax(category, percent, base, percent_of(base, percent)) for (category, percent), base in bases.items()
    )
    return Totals(sum(bases.values()), taxes)


def amount_due(*, total_cents: int, paid_cents: int, rounding_cents: int = 0) -> int:
    """What is left to pay (BR-CO-16): total with tax, less what was paid ahead, plus a rounding amount."""
    return total_cents - paid_cents + rounding_cents


def deposit_share(*, held_cents: int, nucs_now: int, nucs_left: int, total_cents: int, rest_cents: int) -> int:
    """How much of a deposit a delivery of `nucs_now` uses up, in cents, when `nucs_left` (these included) remain.

    Every nuc carries an equal share; the last delivery takes the rest. What the nucs that stay cannot use, because
    they cost only `rest_cents`, is used now. Never more than the delivery costs (`total_cents`).
    Raises ValueError unless 0 < nucs_now <= nucs_left.
    """
    if not 0 < nucs_now <= nucs_left:
        raise ValueError(f"{nucs_now} nucs of {nucs_left} cannot be delivered.")
    part = shares(held_cents, [nucs_now, nucs_left - nucs_now])[0]
    return min(max(part, held_cents - rest_cents), total_cents)


def invoice_number(year: int, serial: int) -> str:
    """The number of an invoice: fiscal year and serial, "2027-00042"."""
    return f"{year}-{serial:05d}"


def receipt_number(year: int, serial: int) -> str:
    """The number of a receipt: "R2027-00042"."""
    return f"R{invoice_number(year, serial)}"
