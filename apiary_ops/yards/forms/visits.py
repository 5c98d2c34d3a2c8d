"""The header of a visit."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from apiary_ops.core.fields import DayField, DistanceField, TemperatureField
from apiary_ops.core.forms import LedgerForm, OnceForm, VersionedForm
from apiary_ops.people.queries import users
from apiary_ops.yards.models import KINDS_OF_WORK, SKIES, Visit


class _VisitFields(LedgerForm):
    temperature_c = TemperatureField(
        label=_("Temperature"), required=False, help_text=_("A warm count is brought down, so note it when you can.")
    )
    sky = forms.ChoiceField(label=_("Sky"), required=False, choices=[("", _("not noted")), *SKIES])
    work = forms.ChoiceField(label=_("Work"), choices=KINDS_OF_WORK)
    view = forms.ChoiceField(
        label=_("Frames are counted"),
        choices=Visit.View.choices,
        help_text=_("From below with the boxes parted is the steadier count."),
    )
    crew_ids = forms.ModelMultipleChoiceField(
        label=_("Crew"), required=False, queryset=None, widget=forms.CheckboxSelectMultiple
    )
    people = forms.IntegerField(label=_("People"), min_value=1, max_value=20, initial=1)
    km = DistanceField(label=_("Driven"), max_value=2000)
    minutes = forms.IntegerField(
        label=_("Minutes at the yard"),
        required=False,
        min_value=0,
        max_value=1440,
        help_text=_("Fill it in when you leave."),
    )
    notes = forms.CharField(label=_("Notes"), required=False, max_length=1000, widget=forms.Textarea(attrs={"rows": 3}))

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["crew_ids"].queryset = users().filter(is_active=True)

    def clean_crew_ids(self) -> list[int]:
        return sorted(user.pk for user in self.cleaned_data["crew_ids"])

    def clean_minutes(self) -> int:
        return self.cleaned_data["minutes"] or 0


class StartVisit(OnceForm, _VisitFields):
    on = DayField(label=_("Day"))

    field_order = ["on"]


class EditVisit(VersionedForm, _VisitFields):
    pass


VISIT_FIELDS = ("temperature_c", "sky", "work", "view", "people", "km", "minutes", "notes")
