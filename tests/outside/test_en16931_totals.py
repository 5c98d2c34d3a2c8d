"""Invoice totals against published example invoices of EN 16931.

Sources: the example files of the CEN validation artefacts (ubl-tc434-example1, 2, 3, 5, sample-discount-price,
CII-BR-CO-10-RoundingIssue) and of the PEPPOL BIS Billing 3.0 rules (base-example, vat-category-Z, vat-category-E,
rounding), read from their repositories. Rule numbers are those of the standard.
"""

from decimal import Decimal

import pytest

from apiary_ops.billing.compute import CategoryTax, TaxedAmount, amount_due, document_totals, line_net


def cents(text: str) -> int:
    return int(Decimal(text).scaleb(2))


def amounts(category: str, percent: str, *nets: str) -> list[TaxedAmount]:
    return [TaxedAmount(cents(net), category, Decimal(percent)) for net in nets]


# Each example: amounts by category (allowances on the document below zero), then net, tax, total, paid ahead, due.
EXAMPLES = {
    "CEN ubl-tc434-example1": (
        amounts(
            "S", "6",
            "19.90", "9.85", "8.29", "14.46", "35.00", "35.00", "10.65", "1.55", "14.37", "8.29", "16.58", "9.95",
            "3.30", "3.90", "102.12", "-109.98",
        )
        + amounts("S", "21", "10.80", "7.60", "9.34", "18.63"),
        ("229.60", "20.73", "250.33", "0", "250.33"),
    ),
    # Its line nets do not follow from quantity times price: used for totals and tax only.
    "CEN ubl-tc434-example2": (
        amounts("S", "25", "1273.00", "187.50", "-100", "100")
        + amounts("S", "15", "-3.96", "4.96")
        + amounts("E", "0", "-25.00"),
        ("1436.50", "365.28", "1801.78", "1000", "801.78"),
    ),
    # As example 2: totals and tax only.
    "CEN ubl-tc434-example3": (
        amounts("S", "25", "800", "100") + amounts("S", "10", "800"),
        ("1700", "305", "2005", "0", "2005"),
    ),
    "CEN ubl-tc434-example5": (
        amounts("S", "25", "1500", "-150", "150") + amounts("S", "12", "2500"),
        ("4000", "675", "4675", "2337.50", "2337.50"),
    ),
    "CEN sample-discount-price": (
        amounts("S", "25", "12.12"),
        ("12.12", "3.03", "15.15", "0", "15.15"),
    ),
    "PEPPOL base-example": (
        amounts("S", "25", "2800", "-1500", "25"),
        ("1325", "331.25", "1656.25", "0", "1656.25"),
    ),
    "PEPPOL vat-category-Z": (amounts("Z", "0", "1200"), ("1200", "0", "1200", "0", "1200")),
    "PEPPOL vat-category-E": (amounts("E", "0", "1200"), ("1200", "0", "1200", "0", "1200")),
    "CEN CII-BR-CO-10-RoundingIssue": (
        amounts("Z", "0", "720.81", "0.01", "-720.81", "-0.01"),
        ("0", "0", "0", "0", "0"),
    ),
}  # fmt: skip


@pytest.mark.parametrize(("rows", "expected"), EXAMPLES.values(), ids=EXAMPLES.keys())
def test_a_published_example_adds_up_to_the_cent(rows, expected):
    totals = document_totals(rows)

    net, tax, total, paid, due = map(cents, expected)
    assert (totals.net_cents, totals.tax_cents, totals.total_cents) == (net, tax, total)
    assert amount_due(total_cents=totals.total_cents, paid_cents=paid) == due


def test_tax_is_rounded_once_on_the_sum_of_its_category_with_halves_up():
    # Example 2: 25 % of 1,460.50 is 365.125; half-even would give 365.12.
    totals = document_totals(EXAMPLES["CEN ubl-tc434-example2"][0])

    assert totals.taxes == (
        CategoryTax("S", Decimal(25), cents("1460.50"), cents("365.13")),
        CategoryTax("S", Decimal(15), cents("1.00"), cents("0.15")),
        CategoryTax("E", Decimal(0), cents("-25.00"), 0),
    )


def test_the_two_rates_of_example_1_stand_apart():
    totals = document_totals(EXAMPLES["CEN ubl-tc434-example1"][0])

    assert [(tax.net_cents, tax.tax_cents) for tax in totals.taxes] == [(18323, 1099), (4637, 974)]


def test_zero_rated_and_exempt_are_two_categories_although_both_cost_nothing():
    # PEPPOL vat-category-Z and vat-category-E, here on one document.
    totals = document_totals(amounts("Z", "0", "1200") + amounts("E", "0", "1200"))

    assert totals.taxes == (
        CategoryTax("Z", Decimal(0), net_cents=120000, tax_cents=0),
        CategoryTax("E", Decimal(0), net_cents=120000, tax_cents=0),
    )


@pytest.mark.parametrize(
    ("price_cents", "quantity", "net"),
    [
        (Decimal("12.12"), 100, "12.12"),  # CEN sample-discount-price: 100 at 0.1212
        (40000, 7, "2800"),  # PEPPOL base-example
        (50000, -3, "-1500"),
        (12000, 10, "1200"),  # PEPPOL vat-category-Z
    ],
)
def test_a_line_is_price_times_quantity(price_cents, quantity, net):
    assert line_net(price_cents=price_cents, quantity=quantity) == cents(net)


def test_a_rounding_amount_comes_after_everything_else():
    # PEPPOL rounding: 999.81 with 0.19 is 1,000.00 (BR-CO-16).
    assert amount_due(total_cents=99981, paid_cents=0, rounding_cents=19) == 100000
