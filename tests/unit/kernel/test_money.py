import pickle
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from apiary_ops.kernel.money import LARGEST_CENTS, MINOR_UNITS, CurrencyMismatch, Money

cents = st.integers(-LARGEST_CENTS, LARGEST_CENTS)
currencies = st.sampled_from(sorted(MINOR_UNITS))
amounts = st.builds(Money, cents, currencies)


def cad(cents: int) -> Money:
    return Money(cents, "CAD")


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("1,234.50", 123450),
        ("1 234.50", 123450),
        ("1\u00a0234.50", 123450),
        ("1\u202f234\u202f567,89", 123456789),
        ("1234.5", 123450),
        ("1234", 123400),
        ("1,234", 123400),
        ("1,234,567", 123456700),
        ("12,50", 1250),
        ("12,5", 1250),
        (".50", 50),
        ("0", 0),
        ("007.00", 700),
        ("-3.10", -310),
        ("−3.10", -310),
        ("  85.00 ", 8500),
        ("85.00 CAD", 8500),
        ("-0.00", 0),
    ],
)
def test_an_amount_is_read_as_people_write_it(text, expected):
    assert Money.parse(text, "CAD") == cad(expected)


@pytest.mark.parametrize(
    "text",
    [
        "abc",
        "NaN",
        "Infinity",
        "1e3",
        "1.2.3",
        "12.",
        ",50",
        "1,23,456",
        "1,2345",
        "1.234,50",
        "1,234,50",
        "1,234 567",
        "0,123",
    ]
    + ["--5", "+5", "- ", "5-", "$5", "CAD", "5 USD", "1_000", "٣", "1\n000", "."],
)
def test_what_is_not_an_amount_is_refused(text):
    with pytest.raises(ValueError) as refusal:
        Money.parse(text, "CAD")

    assert str(refusal.value) == f"“{text.strip()}” is not an amount; write it like 1,234.50."


@pytest.mark.parametrize("text", ["", "   ", "\u00a0"])
def test_an_empty_amount_is_refused(text):
    with pytest.raises(ValueError, match=r"^Enter an amount, such as 1,234\.50\.$"):
        Money.parse(text, "CAD")


def test_more_decimals_than_the_currency_has_are_refused():
    with pytest.raises(ValueError) as dollars:
        Money.parse("12.345", "CAD")
    with pytest.raises(ValueError) as yen:
        Money.parse("12,50", "JPY")

    assert str(dollars.value) == "“12.345” has more decimals than CAD has; write at most 2."
    assert str(yen.value) == "“12,50” has more decimals than JPY has; write a whole number."


def test_three_decimals_are_read_in_dinars():
    assert Money.parse("1.005", "KWD") == Money(1005, "KWD")
    assert Money.parse("1.5", "KWD") == Money(1500, "KWD")


@pytest.mark.parametrize("text", ["92233720368547758.08", "9" * 5000])
def test_an_amount_the_books_cannot_hold_is_refused(text):
    with pytest.raises(ValueError, match=r"^The amount is too large; check the number of digits\.$"):
        Money.parse(text, "CAD")


@pytest.mark.parametrize("text", [12.5, 12, None, Decimal("12.50")])
def test_only_text_is_parsed(text):
    with pytest.raises(TypeError, match="Money is parsed from text"):
        Money.parse(text, "CAD")


def test_an_unknown_currency_is_refused_by_name():
    with pytest.raises(ValueError, match=r"^The currency 'XYZ' is not known; use a code such as CAD\.$"):
        Money(100, "XYZ")
    with pytest.raises(ValueError, match="'cad'"):
        Money.parse("1", "cad")


@pytest.mark.parametrize("value", [1.0, True, Decimal(1), "1", None])
def test_money_is_counted_in_whole_cents_only(value):
    with pytest.raises(TypeError, match="Money is counted in whole cents"):
        Money(value, "CAD")


def test_money_adds_subtracts_and_turns_its_sign():
    assert cad(500) + cad(250) == cad(750)
    assert cad(500) - cad(750) == cad(-250)
    assert -cad(500) == cad(-500)
    assert abs(cad(-500)) == cad(500)
    assert sum([cad(1), cad(2)], Money.zero("CAD")) == cad(3)


def test_money_is_multiplied_by_a_count():
    assert cad(28000) * 3 == cad(84000)
    assert 3 * cad(28000) == cad(84000)


@pytest.mark.parametrize("factor", [1.5, True, Decimal(2)])
def test_money_is_never_multiplied_by_anything_but_a_count(factor):
    with pytest.raises(TypeError):
        cad(100) * factor


@pytest.mark.parametrize("other", [1, 1.5, Decimal(1)])
def test_money_and_a_bare_number_do_not_mix(other):
    with pytest.raises(TypeError):
        cad(100) + other
    with pytest.raises(TypeError):
        cad(100) - other
    with pytest.raises(TypeError):
        cad(100) < other  # noqa: B015
    assert cad(100) != other


def test_two_currencies_do_not_mix():
    dollars, euros = Money(100, "CAD"), Money(100, "EUR")

    for mix in (
        lambda: dollars + euros,
        lambda: dollars - euros,
        lambda: dollars < euros,
        lambda: dollars >= euros,
    ):
        with pytest.raises(CurrencyMismatch) as refusal:
            mix()
        assert str(refusal.value) == "1.00 CAD and 1.00 EUR are in different currencies; convert one of them first."
    assert dollars != euros


def test_amounts_of_one_currency_have_an_order():
    assert cad(-1) < cad(0) <= cad(0) < cad(1)
    assert max(cad(3), cad(7), cad(5)) == cad(7)


def test_no_money_is_false():
    assert not Money.zero("CAD")
    assert cad(-1)


@pytest.mark.parametrize(
    ("money", "plain", "text"),
    [
        (Money(123450, "CAD"), "1,234.50", "1,234.50 CAD"),
        (Money(-123450, "CAD"), "−1,234.50", "−1,234.50 CAD"),
        (Money(5, "CAD"), "0.05", "0.05 CAD"),
        (Money(0, "CAD"), "0.00", "0.00 CAD"),
        (Money(1234567, "JPY"), "1,234,567", "1,234,567 JPY"),
        (Money(1234567, "KWD"), "1,234.567", "1,234.567 KWD"),
    ],
)
def test_money_is_written_with_its_decimals(money, plain, text):
    assert money.plain == plain
    assert str(money) == text


def test_the_decimal_keeps_its_places():
    assert str(Money(123450, "CAD").decimal) == "1234.50"
    assert str(Money(-7, "KWD").decimal) == "-0.007"
    assert str(Money(7, "JPY").decimal) == "7"


def test_money_cannot_be_changed_and_survives_storage():
    amount = cad(100)

    with pytest.raises(AttributeError):
        amount.cents = 5
    assert pickle.loads(pickle.dumps(amount)) == amount
    assert len({amount, cad(100)}) == 1


@given(amounts)
def test_what_money_writes_it_reads_again(amount):
    assert Money.parse(str(amount), amount.currency) == amount
    assert Money.parse(amount.plain, amount.currency) == amount
    assert Money.parse(f"{amount.decimal:f}", amount.currency) == amount


@given(cents, cents, currencies)
def test_money_adds_like_whole_numbers(first, second, currency):
    total = Money(first, currency) + Money(second, currency)

    assert total.cents == first + second
    assert total - Money(second, currency) == Money(first, currency)
    assert (Money(first, currency) < Money(second, currency)) == (first < second)


def read_or_refused(text: str) -> Money | None:
    try:
        return Money.parse(text, "CAD")
    except ValueError:
        return None


@given(st.text(alphabet="0123456789., -−\u00a0CADe", max_size=10))
def test_no_digit_is_lost_and_the_sign_is_kept(text):
    amount = read_or_refused(text)

    if amount is not None:
        digits = int("".join(character for character in text if character.isdigit()))
        assert abs(amount.cents) in {digits, digits * 10, digits * 100}
        assert (amount.cents < 0) == (text.lstrip()[0] in "-−" and digits > 0)
