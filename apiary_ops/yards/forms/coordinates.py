"""A coordinate in one text field, as people read it off a map or a receiver."""

from decimal import Decimal
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

from apiary_ops.yards import compute

HINTS = {
    "latitude": _("Decimal degrees, or degrees and minutes: 49.24167 or 49 14.5 N."),
    "longitude": _("West is below zero: -40.1 or 40 6 W."),
}
REFUSALS = {
    "latitude": _("Write degrees, such as 49.24167 or 49 14.5 N, between 90 S and 90 N."),
    "longitude": _("Write degrees, such as -40.1 or 40 6 W, between 180 W and 180 E."),
}


class CoordinateField(forms.CharField):
    """Text to degrees of WGS 84: decimal degrees, or degrees and minutes with N, S, E or W."""

    def __init__(self, *, axis: compute.Axis, **kwargs: Any) -> None:
        self.axis: compute.Axis = axis
        kwargs.setdefault("help_text", HINTS[axis])
        kwargs.setdefault("widget", forms.TextInput(attrs={"maxlength": 24, "autocomplete": "off"}))
        super().__init__(**kwargs)

    def to_python(self, value: Any) -> Decimal | None:
        if isinstance(value, Decimal):
            return value
        text = super().to_python(value)
        if not text:
            return None
        try:
            return compute.read_coordinate(text, self.axis)
        except compute.NotCoordinate:
            raise ValidationError(REFUSALS[self.axis], code="coordinate") from None

    def prepare_value(self, value: Any) -> Any:
        return compute.plain_degrees(value) if isinstance(value, Decimal) else value
