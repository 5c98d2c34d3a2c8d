"""Form fields that turn text into the domain's own values."""

from datetime import date
from decimal import Decimal
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

from apiary_ops.kernel import units
from apiary_ops.kernel.money import Money
from apiary_ops.kernel.rounding import half_up


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


class RowsField(forms.ModelMultipleChoiceField):
    """Rows ticked in a list. A key with more digits than any has is no choice; SQLite would fall over it."""

    def clean(self, value: Any) -> Any:
        if any(len(str(key)) > 18 for key in value or ()):
            raise ValidationError(self.error_messages["invalid_pk_value"], code="invalid_pk_value", params={"pk": "…"})
        return super().clean(value)


class TemperatureField(forms.DecimalField):
    """A temperature as the business reads its thermometer ("C" or "F"), kept in °C to a tenth."""

    def __init__(self, *, unit: str = "C", lowest_c: int = -30, highest_c: int = 45, **kwargs: Any) -> None:
        self.unit, self.lowest_c, self.highest_c = unit, lowest_c, highest_c
        kwargs.setdefault("widget", forms.TextInput(attrs={"inputmode": "decimal", "maxlength": 8}))
        super().__init__(**kwargs)

    def to_python(self, value: Any) -> Decimal | None:
        text = value.strip().replace(",", ".").replace("−", "-") if isinstance(value, str) else value
        degrees = super().to_python(text)
        if degrees is None or degrees.is_nan():
            return degrees  # what is no number is refused by validate()
        celsius = Decimal(str(units.celsius(float(degrees)))) if self.unit == "F" else degrees
        if not self.lowest_c <= celsius <= self.highest_c:
            bounds = {"lowest": self._shown(self.lowest_c), "highest": self._shown(self.highest_c), "unit": self.unit}
            raise ValidationError(_("The temperature must lie between %(lowest)s and %(highest)s °%(unit)s.") % bounds)
        return half_up(celsius, 1)

    def prepare_value(self, value: Any) -> Any:
        return self._shown(value) if isinstance(value, Decimal) else value

    def _shown(self, celsius: Decimal | int) -> str:
        """Celsius to a tenth; Fahrenheit, a finer scale, to the degree."""
        if self.unit == "F":
            return f"{half_up(Decimal(str(units.fahrenheit(float(celsius)))))}"
        return f"{half_up(celsius, 1).normalize():f}"


class DistanceField(forms.IntegerField):
    """A distance as the business's odometer reads ("km" or "mi"), kept in whole km."""

    def __init__(self, *, unit: str = "km", **kwargs: Any) -> None:
        self.unit = unit
        kwargs.setdefault("min_value", 0)
        super().__init__(**kwargs)

    def clean(self, value: Any) -> Any:
        distance = super().clean(value)
        if distance is None or self.unit == "km":
            return distance
        return round(units.kilometres(distance))

    def prepare_value(self, value: Any) -> Any:
        return round(units.miles(value)) if self.unit == "mi" and isinstance(value, int) else value
