"""Yards."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from apiary_ops.core.fields import DistanceField
from apiary_ops.core.forms import LedgerForm, OnceForm, VersionedForm

from .coordinates import CoordinateField


def _lines(label: Any, rows: int = 2, **kwargs: Any) -> forms.CharField:
    return forms.CharField(
        label=label, max_length=1000, required=False, widget=forms.Textarea(attrs={"rows": rows}), **kwargs
    )


class _YardFields(LedgerForm):
    name = forms.CharField(label=_("Name"), max_length=80)
    place = forms.CharField(label=_("Where it is"), max_length=120, required=False)
    latitude = CoordinateField(axis="latitude", label=_("Latitude"), required=False)
    longitude = CoordinateField(axis="longitude", label=_("Longitude"), required=False)
    round_trip_km = DistanceField(label=_("Round trip"), initial=0, max_value=2000)
    access_notes = _lines(_("How to get in"), rows=3)
    gate_code = forms.CharField(label=_("Gate code"), max_length=40, required=False)
    hazards = _lines(_("Hazards"), help_text=_("Bulls, soft ground, overhead lines, a bridge and what it carries."))
    has_bears = forms.BooleanField(label=_("Bears come here: check the fence"), required=False)
    forage = _lines(_("Forage"), help_text=_("What flowers here, and when."))
    landowner = forms.CharField(label=_("Landowner"), max_length=120, required=False)
    landowner_phone = forms.CharField(label=_("Landowner's telephone"), max_length=40, required=False)
    rent = forms.CharField(
        label=_("Rent"), max_length=120, required=False, help_text=_("In words, such as 20 kg of honey in October.")
    )
    is_pickup_yard = forms.BooleanField(label=_("Buyers collect here"), required=False)

    def clean(self) -> dict[str, Any]:
        values = super().clean() or {}
        if "latitude" in values and "longitude" in values:
            if values["latitude"] is None and values["longitude"] is not None:
                self.add_error("latitude", _("Give the latitude too, or neither."))
            elif values["longitude"] is None and values["latitude"] is not None:
                self.add_error("longitude", _("Give the longitude too, or neither."))
        return values


class AddYard(OnceForm, _YardFields):
    code = forms.SlugField(
        label=_("Code"), max_length=20, help_text=_("Short, such as mill-lane. It stands on papers and never changes.")
    )

    field_order = ["code", "name"]


class EditYard(VersionedForm, _YardFields):
    is_active = forms.BooleanField(label=_("In use"), required=False)


YARD_FIELDS = (*_YardFields.base_fields, "is_active")
