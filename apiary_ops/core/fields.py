"""Form fields that turn text into the domain's own values."""

from datetime import date
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

from apiary_ops.kernel.money import Money


class MoneyField(forms.CharField):
    """Text to Money in `currency`; refuses more decimals than the currency has and, by default, negatives."""

    def __init__(self, *, currency: str = "", allow_negative: bool = False, allow_zero: bool = True, **kwargs: Any):
        self.currency, self.allow_negative, self.allow_zero = currency, allow_negative, allow_zero
        kwargs.setdefault("widget", forms.TextInput(attrs={"inputmode": "decimal", "class": "money", "maxlength": 24}))
        super().__init__(**kwargs)

    def to_python(self, value: Any) -> Any:
        if isinstance(value, Money):
            return value
        text = super().to_python(value)
        if not text:
            return None
        try:
            money = Money.parse(text, self.currency)
        except ValueError as trouble:
            raise ValidationError(str(trouble), code="money") from trouble
        if money.cents < 0 and not self.allow_negative:
            raise ValidationError(_("The amount cannot be below zero."), code="negative")
        if money.cents == 0 and not self.allow_zero:
            raise ValidationError(_("The amount must be more than zero."), code="zero")
        if abs(money.cents) > 10**11:
            raise ValidationError(_("The amount is too large."), code="too_large")
        return money

    def prepare_value(self, value: Any) -> Any:
        return value.plain if isinstance(value, Money) else value


class DayField(forms.DateField):
    """A day from a date picker; dates outside a working lifetime are slips of the pen and are refused."""

    def __init__(self, **kwargs: Any) -> None:
        kwargs.setdefault("widget", forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"))
        super().__init__(**kwargs)

    def to_python(self, value: Any) -> date | None:
        day = super().to_python(value)
        if day is not None and not 2000 <= day.year <= 2099:
            raise ValidationError(_("The year must lie between 2000 and 2099."), code="year")
        return day
