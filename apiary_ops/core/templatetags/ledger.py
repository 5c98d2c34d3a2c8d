"""Filters of every template: money, signed numbers, weeks and days in the business's own words."""

from datetime import date
from typing import Any

from django import template
from django.utils.formats import date_format

from apiary_ops.kernel.money import Money
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
def week(value: date | Week | None) -> str:
    """A day or a week as "week of 12 May"."""
    if value is None:
        return ""
    return (value if isinstance(value, Week) else Week.of(value)).label


@register.filter
def day(value: date | None) -> str:
    """A day with its weekday: "Mon 12 May 2027"."""
    return "" if value is None else date_format(value, "D j M Y")


@register.filter
def halves(value: Any) -> str:
    """Half frames as frames: 11 -> "5½"."""
    if value is None:
        return ""
    whole, half = divmod(int(value), 2)
    return (str(whole) if whole or not half else "") + ("½" if half else "")
