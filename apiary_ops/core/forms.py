"""Bases of the project's forms."""

import uuid
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from .fields import DistanceField, MoneyField, TemperatureField
from .versions import StaleRecord


class LedgerForm(forms.Form):
    """A plain form; pass `currency` when it has money fields, and the business's units when it has measures."""

    def __init__(
        self, *args: Any, currency: str = "", temperature_unit: str = "C", distance_unit: str = "km", **kwargs: Any
    ) -> None:
        kwargs.setdefault("label_suffix", "")
        super().__init__(*args, **kwargs)
        for field in self.fields.values():
            if isinstance(field, MoneyField):
                field.currency = field.currency or currency
            elif isinstance(field, TemperatureField):
                field.unit = temperature_unit
                field.label = f"{field.label}, °{temperature_unit}"
            elif isinstance(field, DistanceField):
                field.unit = distance_unit
                field.label = f"{field.label}, {distance_unit}"


class OnceForm(LedgerForm):
    """A form that posts something: it carries a once-key, so that a double click is carried out once."""

    once_key = forms.UUIDField(widget=forms.HiddenInput, initial=uuid.uuid4)


class VersionedForm(LedgerForm):
    """A form that edits a record: it carries the version it was opened with."""

    version = forms.IntegerField(widget=forms.HiddenInput, min_value=1)

    def show_stale(self, refusal: StaleRecord) -> None:
        """Keep what was typed, show what stands now beside each field that differs, and take the new version."""
        self.add_error(None, str(refusal))
        for name in self.fields:
            if name == "version" or not hasattr(refusal.current, name):
                continue
            standing = getattr(refusal.current, name)
            if name in self.cleaned_data and standing != self.cleaned_data[name]:
                self.add_error(name, _("Now stands as: %(value)s") % {"value": standing if standing != "" else "—"})
        self.data = self.data.copy()
        self.data[self.add_prefix("version")] = str(refusal.current.version)
