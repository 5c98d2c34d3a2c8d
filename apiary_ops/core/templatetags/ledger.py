"""Filters of every template: money, signed numbers, weeks and days in the business's own words."""

from datetime import date
from decimal import Decimal
from typing import Any

from django import template

from apiary_ops.core.days import spoken_day
from apiary_ops.kernel import units
from apiary_ops.kernel.money import Money
from apiary_ops.kernel.rounding import half_up
from apiary_ops.kernel.weeks import Week

register = template.Library()


@register.filter
def money(value: Money | None) -> str:
    """Money as "1,234.50 CAD"; nothing for nothing."""
    return "" if value is None else str(value)


@register.filter
def plain(value: Money | None) -> str:
    """Money as "1,234.50", for columns whose head names the currency."""
    return "" if value is None else value.plain


@register.filter
def cents(value: int | None, currency: str) -> str:
    """Whole cents as "1,234.50 CAD"."""
    return "" if value is None else str(Money(value, currency))


@register.filter
def amount(value: int | None, currency: str) -> str:
    """Whole cents as "1,234.50", where the currency stands beside."""
    return "" if value is None else Money(value, currency).plain


@register.filter
def week(value: date | Week | None) -> str:
    """A day or a week as "week of 12 May"."""
    if value is None:
        return ""
    return (value if isinstance(value, Week) else Week.of(value)).label


@register.filter
def day(value: date | None) -> str:
    """A day with its weekday: "Mon 12 May 2027"."""
    return "" if value is None else spoken_day(value)


@register.filter
def halves(value: Any) -> str:
    """Half frames as frames: 11 -> "5½"."""
    if value is None:
        return ""
    whole, half = divmod(int(value), 2)
    return (str(whole) if whole or not half else "") + ("½" if half else "")


@register.filter
def temperature(celsius: Decimal | None, unit: str) -> str:
    """Degrees in the business's own unit, "C" or "F": "6.5 °C"."""
    if celsius is None:
        return ""
    degrees = (
        half_up(Decimal(str(units.fahrenheit(float(celsius))))) if unit == "F" else half_up(celsius, 1).normalize()
    )
    return f"{degrees:f}\N{NO-BREAK SPACE}°{unit}".replace("-", "\N{MINUS SIGN}")


@register.filter
def distance(km: int | None, unit: str) -> str:
    """A distance in the business's own unit, "km" or "mi": "64 km"."""
    if km is None:
        return ""
    return f"{round(units.miles(km)) if unit == 'mi' else km:,}\N{NO-BREAK SPACE}{unit}"
