"""Yards and colonies."""

from typing import Any

from django import forms
from django.core.validators import MaxValueValidator, MinValueValidator
from django.utils.translation import gettext_lazy as _

from apiary_ops.core.fields import DayField, DistanceField
from apiary_ops.core.forms import LedgerForm, OnceForm, VersionedForm
from apiary_ops.yards import queries
from apiary_ops.yards.models import TAG_FORM, Colony

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


def _tag() -> forms.CharField:
    return forms.CharField(label=_("Tag"), max_length=20, help_text=_("As written on the lid, such as C0031."))


def _boxes() -> forms.IntegerField:
    return forms.IntegerField(label=_("Boxes"), min_value=1, max_value=6, initial=2)


def _queen_year() -> forms.IntegerField:
    return forms.IntegerField(
        label=_("Queen's year"),
        required=False,
        validators=[MinValueValidator(2000), MaxValueValidator(2099)],
        help_text=_("Leave empty when it is not known."),
    )


class _TagForm(LedgerForm):
    def clean_tag(self) -> str:
        tag = str(self.cleaned_data["tag"]).strip().upper()
        TAG_FORM(tag)
        return tag


class AddColony(OnceForm, _TagForm):
    tag = _tag()
    position = forms.IntegerField(
        label=_("Position"),
        required=False,
        min_value=1,
        max_value=9999,
        help_text=_("Its place in walking order. Leave empty to put it after the last one."),
    )
    boxes = _boxes()
    purpose = forms.ChoiceField(label=_("Kept for"), choices=Colony.Purpose.choices)
    started_on = DayField(label=_("Stands here since"))
    queen_year = _queen_year()


class EditColony(VersionedForm, _TagForm):
    tag = _tag()
    boxes = _boxes()
    queen_year = _queen_year()


class MoveColony(LedgerForm):
    yard = forms.ModelChoiceField(label=_("Yard"), queryset=None, empty_label=None)
    position = forms.IntegerField(
        label=_("Position"), required=False, min_value=1, max_value=9999, help_text=_("Leave empty for the last place.")
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["yard"].queryset = queries.yards().filter(is_active=True)


class SetPurpose(LedgerForm):
    purpose = forms.ChoiceField(label=_("Kept for"), choices=Colony.Purpose.choices, widget=forms.RadioSelect)


class EndColony(VersionedForm):
    state = forms.ChoiceField(
        label=_("What became of it"),
        choices=[choice for choice in Colony.State.choices if choice[0] != Colony.State.LIVE],
        widget=forms.RadioSelect,
    )
    on = DayField(label=_("Day"))
    cause = forms.CharField(
        label=_("Why, or where it went"),
        max_length=120,
        help_text=_("Such as starved, queenless, united with C0012, sold as a colony."),
    )
