"""Rounding against statutes, official invoices and published figures."""

from decimal import ROUND_HALF_EVEN, Decimal

import pytest

from apiary_ops.kernel.money import MINOR_UNITS, Money
from apiary_ops.kernel.rounding import half_up, percent_of, to_cash, whole_cents


# Calculated: values on which half-up and half-even part, and two on which floats go wrong (1.005, 2.675).
@pytest.mark.parametrize(
    ("value", "up", "even"),
    [
        ("2.265", "2.27", "2.26"),
        ("3.345", "3.35", "3.34"),
        ("0.125", "0.13", "0.12"),
        ("0.135", "0.14", "0.14"),
        ("1.005", "1.01", "1.00"),
        ("2.675", "2.68", "2.68"),
        ("-2.265", "-2.27", "-2.26"),
    ],
)
def test_halves_go_away_from_zero_and_not_to_the_even_neighbour(value, up, even):
    assert half_up(Decimal(value), 2) == Decimal(up)
    assert Decimal(value).quantize(Decimal("0.01"), ROUND_HALF_EVEN) == Decimal(even)


# EN 16931-1 validation artefacts 1.3.16, official example invoices: tax by category, rule BR-CO-17.
@pytest.mark.parametrize(
    ("base", "rate", "tax"),
    [
        ("183.23", "6", "10.99"),  # ubl-tc434-example1
        ("46.37", "21", "9.74"),
        ("1460.50", "25", "365.13"),  # example2: 365.125 exactly
        ("1.00", "15", "0.15"),
        ("900.00", "25", "225.00"),  # example3
        ("800.00", "10", "80.00"),
        ("1500.00", "25", "375.00"),  # example5
        ("2500.00", "12", "300.00"),
        ("12.12", "25", "3.03"),  # sample-discount-price
        ("1325.00", "25", "331.25"),  # Peppol BIS Billing 3.0, base-example
    ],
)
def test_tax_of_the_official_example_invoices(base, rate, tax):
    expected = Money.parse(tax, "EUR")

    assert percent_of(Money.parse(base, "EUR").cents, Decimal(rate)) == expected.cents


# EN 16931-1 validation artefacts, sample-discount-price: 100 x 0.1212.
def test_a_line_net_is_rounded_once():
    assert whole_cents(100 * Decimal("0.1212") * 100) == 1212


# EN 16931-1 validation artefacts, CII-BR-CO-10-RoundingIssue: exactly nothing, where floats leave -9.1e-15.
def test_amounts_that_cancel_leave_nothing():
    lines = [Money.parse(text, "EUR") for text in ("720.81", "0.01", "-720.81", "-0.01")]

    assert sum(lines, Money.zero("EUR")) == Money.zero("EUR")
    assert 720.81 + 0.01 - 720.81 - 0.01 != 0


# Excise Tax Act (Canada) s. 165.2: under half a cent is dropped, half a cent or more is a cent.
def test_half_a_cent_of_tax_is_a_cent():
    assert whole_cents(Decimal("0.49")) == 0
    assert whole_cents(Decimal("0.50")) == 1


# CRA interpretation 125136 (2011): 31.95 at 13 % is 4.15, or 5 % and 8 % apart 4.16.
def test_harmonized_tax_taken_whole_or_in_two_parts():
    assert percent_of(3195, Decimal(13)) == 415
    assert percent_of(3195, Decimal(5)) == 160
    assert percent_of(3195, Decimal(8)) == 256


# Budget 2012 (Canada) and CRA GI-131: 1.83 + 2.86 = 4.69, tax 0.23, by card 4.92, in cash 4.90.
def test_a_cash_total_is_paid_without_pennies():
    goods = 183 + 286
    total = goods + percent_of(goods, Decimal(5))

    assert total == 492
    assert to_cash(total) == 490


# Budget 2012 (Canada): 1 and 2 down, 3 and 4 up to 5, 6 and 7 down to 5, 8 and 9 up to 10.
@pytest.mark.parametrize(
    ("last", "paid"),
    [(0, 0), (1, 0), (2, 0), (3, 5), (4, 5), (5, 5), (6, 5), (7, 5), (8, 10), (9, 10)],
)
def test_every_last_digit_of_a_cash_total(last, paid):
    assert to_cash(1200 + last) == 1200 + paid


# ISO 4217 list one, an older copy. UGX, CLF and UYW: from memory.
def test_decimals_of_each_currency():
    by_decimals = {
        decimals: {code for code in MINOR_UNITS if MINOR_UNITS[code] == decimals} for decimals in MINOR_UNITS.values()
    }

    assert by_decimals == {
        0: set("JPY KRW CLP ISK VND PYG RWF KMF DJF GNF BIF VUV XAF XOF XPF UGX".split()),  # noqa: SIM905
        2: set("CAD USD EUR GBP AUD NZD CHF MXN SEK".split()),  # noqa: SIM905
        3: set("BHD IQD JOD KWD LYD OMR TND".split()),  # noqa: SIM905
        4: {"CLF", "UYW"},
    }
