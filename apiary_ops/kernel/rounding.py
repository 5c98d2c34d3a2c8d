"""Rounding, in one place: halves go away from zero, and nothing passes through a float.

Sources: Excise Tax Act (Canada) s. 165.2 for half a cent and more becoming a cent;
Budget 2012 and CRA GI-131 for cash totals to five cents.
"""

from decimal import Decimal
from fractions import Fraction

Exact = Decimal | Fraction | int


def exact(value: Exact) -> Fraction:
    """`value` as a fraction, without loss.

    Raises TypeError for floats and booleans, ValueError for infinity and not-a-number.
    """
    if isinstance(value, bool) or not isinstance(value, Decimal | Fraction | int):
        raise TypeError(f"Exact arithmetic takes int, Decimal or Fraction, got {type(value).__name__}.")
    if isinstance(value, Decimal) and not value.is_finite():
        raise ValueError(f"{value} is not a finite number.")
    return Fraction(value)


def half_up(value: Exact, places: int = 0) -> Decimal:
    """`value` to `places` decimals, halves away from zero."""
    return Decimal(f"{_nearest(exact(value) * Fraction(10) ** places)}E{-places}")


def whole_cents(value: Decimal | Fraction) -> int:
    """The nearest whole number of cents to `value`, which is in cents."""
    return _nearest(exact(value))


def percent_of(cents: int, percent: Decimal) -> int:
    """`percent` per cent of `cents`, in whole cents: 5 % tax is `percent_of(cents, Decimal(5))`."""
    return _nearest(exact(cents) * exact(percent) / 100)


def to_cash(cents: int, step: int = 5) -> int:
    """The cash amount nearest to `cents` that coins of `step` cents can pay; for the final total only.

    Raises ValueError unless `step` is at least one cent.
    """
    if step < 1:
        raise ValueError(f"The smallest coin must be worth at least 1 cent, got {step}.")
    return _nearest(exact(cents) / step) * step


def _nearest(value: Fraction) -> int:
    size = (2 * abs(value.numerator) + value.denominator) // (2 * value.denominator)
    return size if value >= 0 else -size
