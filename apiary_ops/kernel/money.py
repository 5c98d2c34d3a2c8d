"""Money: a whole number of a currency's smallest unit, and the text people write for it."""

import re
from dataclasses import dataclass
from decimal import Decimal
from functools import total_ordering

MINUS = "\N{MINUS SIGN}"
LARGEST_CENTS = 2**63 - 1  # what a BigInteger column holds

# ISO 4217 list one, an older copy; UGX, CLF and UYW changed since and are from memory.
_CODES_BY_DECIMALS = {
    0: "JPY KRW CLP ISK VND PYG RWF KMF DJF GNF BIF VUV XAF XOF XPF UGX",
    2: "CAD USD EUR GBP AUD NZD CHF MXN SEK",
    3: "BHD IQD JOD KWD LYD OMR TND",
    4: "CLF UYW",
}
MINOR_UNITS = {code: decimals for decimals, codes in _CODES_BY_DECIMALS.items() for code in codes.split()}

# Thousands are set off by one kind of mark throughout: a comma or a (no-break, thin) space.
_AMOUNT = re.compile(
    r"""(?P<minus>[-−]?)(?=\.?[0-9])
        (?P<whole>[0-9]*|[1-9][0-9]{0,2}(?P<mark>[,\ \u00a0\u2009\u202f])[0-9]{3}(?:(?P=mark)[0-9]{3})*)
        (?:\.(?P<after_dot>[0-9]+)|(?<=[0-9]),(?P<after_comma>[0-9]{1,2}))?""",
    re.VERBOSE,
)


class CurrencyMismatch(ValueError):
    """Two amounts in different currencies were added, subtracted or put in order."""


@total_ordering
@dataclass(frozen=True, slots=True)
class Money:
    """An amount in whole `cents`: the smallest unit of `currency`, so yen for JPY and fils for KWD.

    Raises TypeError unless `cents` is an int (booleans and floats are refused),
    ValueError for a currency that `MINOR_UNITS` does not list. Amounts in different currencies are never
    equal; adding them or asking which is more raises CurrencyMismatch.
    """

    cents: int
    currency: str

    def __post_init__(self) -> None:
        if type(self.cents) is not int:
            raise TypeError(f"Money is counted in whole cents (int), got {type(self.cents).__name__}.")
        _decimals_of(self.currency)

    @classmethod
    def zero(cls, currency: str) -> "Money":
        """No money, in `currency`."""
        return cls(0, currency)

    @classmethod
    def parse(cls, text: str, currency: str) -> "Money":
        """The amount a person wrote: "1,234.50", "1 234.50", "1234.5", "12,50", "-3", "7.00 CAD".

        A lone comma before one or two final digits is a decimal comma; before three it marks thousands.
        Raises ValueError with a sentence fit to show, TypeError for anything but text.
        """
        if not isinstance(text, str):
            raise TypeError(f"Money is parsed from text, got {type(text).__name__}.")
        decimals = _decimals_of(currency)
        written = text.strip()
        if not written:
            raise ValueError("Enter an amount, such as 1,234.50.")
        found = _AMOUNT.fullmatch(written.removesuffix(currency).rstrip())
        if not found or (found["mark"] == "," and found["after_comma"]):
            raise ValueError(f"“{written}” is not an amount; write it like 1,234.50.")
        fraction = found["after_dot"] or found["after_comma"] or ""
        digits = re.sub(r"[^0-9]", "", found["whole"])
        if len(fraction) > decimals:
            raise ValueError(f"“{written}” has more decimals than {currency} has; write {_allowed(decimals)}.")
        if len(written) > 40 or (cents := int(digits + fraction.ljust(decimals, "0"))) > LARGEST_CENTS:
            raise ValueError("The amount is too large; check the number of digits.")
        return cls(-cents if found["minus"] else cents, currency)

    def __add__(self, other: "Money") -> "Money":
        if not isinstance(other, Money):
            return NotImplemented
        return Money(self.cents + self._cents_of(other), self.currency)

    def __sub__(self, other: "Money") -> "Money":
        if not isinstance(other, Money):
            return NotImplemented
        return Money(self.cents - self._cents_of(other), self.currency)

    def __neg__(self) -> "Money":
        return Money(-self.cents, self.currency)

    def __abs__(self) -> "Money":
        return Money(abs(self.cents), self.currency)

    def __mul__(self, times: int) -> "Money":
        if type(times) is not int:
            return NotImplemented
        return Money(self.cents * times, self.currency)

    __rmul__ = __mul__

    def __lt__(self, other: "Money") -> bool:
        if not isinstance(other, Money):
            return NotImplemented
        return self.cents < self._cents_of(other)

    def __bool__(self) -> bool:
        return self.cents != 0

    @property
    def decimal(self) -> Decimal:
        """The amount in whole currency units, exact: 1234.50."""
        return Decimal(f"{self.cents}E-{MINOR_UNITS[self.currency]}")

    @property
    def plain(self) -> str:
        """The amount without its currency: "1,234.50", negative with a true minus sign."""
        sign = MINUS if self.cents < 0 else ""
        return f"{sign}{abs(self.decimal):,f}"

    def __str__(self) -> str:
        return f"{self.plain} {self.currency}"

    def _cents_of(self, other: "Money") -> int:
        if other.currency != self.currency:
            raise CurrencyMismatch(f"{self} and {other} are in different currencies; convert one of them first.")
        return other.cents


def _decimals_of(currency: str) -> int:
    try:
        return MINOR_UNITS[currency]
    except KeyError:
        raise ValueError(f"The currency {currency!r} is not known; use a code such as CAD.") from None


def _allowed(decimals: int) -> str:
    return f"at most {decimals}" if decimals else "a whole number"
