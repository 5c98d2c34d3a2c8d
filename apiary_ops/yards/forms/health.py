"""Washes, brood checks and treatments."""

from typing import Any

from django import forms
from django.utils.formats import date_format
from django.utils.translation import gettext_lazy as _

from apiary_ops.core.fields import DayField, TemperatureField
from apiary_ops.core.forms import LedgerForm, OnceForm
from apiary_ops.yards import queries
from apiary_ops.yards.models import BroodCheck, Colony, MiteWash, TreatmentKind, Visit

VISITS_OFFERED = 12


class VisitField(forms.ModelChoiceField):
    """One of a yard's latest visits of the season."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(label=_("Visit"), queryset=None, empty_label=_("choose the visit it was seen on"), **kwargs)

    def label_from_instance(self, obj: Visit) -> str:
        return f"{date_format(obj.on, 'D j M Y')}, {obj.get_work_display()}"


class _AtAYard(OnceForm):
    """Something seen or given at a yard: at one of its colonies, or at the whole."""

    colony = forms.ModelChoiceField(
        label=_("Colony"), required=False, queryset=None, empty_label=_("the whole yard"), to_field_name="tag"
    )

    def __init__(self, *args: Any, yard_id: int, season_id: int, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        standing = queries.colonies().filter(yard_id=yard_id, state=Colony.State.LIVE)
        self.fields["colony"].queryset = standing.order_by("position")
        if "visit" in self.fields:
            visits = queries.visits_of_season(season_id).filter(yard_id=yard_id)
            latest = [visit.pk for visit in visits[:VISITS_OFFERED]]
            self.fields["visit"].queryset = visits.filter(pk__in=latest)

    @property
    def facts(self) -> dict[str, Any]:
        """What the service is told: rows by their keys."""
        chosen = {f"{name}_id": self.cleaned_data[name] for name in ("colony", "visit", "kind") if name in self.fields}
        values = {name: value for name, value in self.cleaned_data.items() if f"{name}_id" not in chosen}
        return values | {name: row.pk if row else None for name, row in chosen.items()}


class _WashFields(LedgerForm):
    mites = forms.IntegerField(label=_("Mites counted"), min_value=0, max_value=2000)
    bees = forms.IntegerField(
        label=_("Bees in the sample"),
        min_value=50,
        max_value=1000,
        initial=300,
        help_text=_("Half a cup of bees is about 300."),
    )
    method = forms.ChoiceField(label=_("Method"), choices=MiteWash.Method.choices)


class RecordWash(_AtAYard, _WashFields):
    visit = VisitField()

    field_order = ["visit", "colony", "mites", "bees", "method"]


class CorrectWash(_WashFields):
    pass


class _BroodFields(LedgerForm):
    colonies_checked = forms.IntegerField(
        label=_("Colonies checked"), min_value=1, max_value=2000, initial=1, help_text=_("Of one colony it is 1.")
    )
    result = forms.ChoiceField(label=_("Result"), choices=BroodCheck.Result.choices, widget=forms.RadioSelect)
    note = forms.CharField(label=_("Note"), required=False, max_length=300)


class RecordBroodCheck(_AtAYard, _BroodFields):
    visit = VisitField()

    field_order = ["visit", "colony", "colonies_checked", "result", "note"]


class CorrectBroodCheck(_BroodFields):
    pass


class GiveTreatment(_AtAYard):
    kind = forms.ModelChoiceField(
        label=_("Treatment"), queryset=None, empty_label=_("choose one"), to_field_name="code"
    )
    starts_on = DayField(label=_("Given on"))
    due_out_on = DayField(
        label=_("Ends by"),
        required=False,
        help_text=_("Leave empty for the longest the label allows. Strips make a task to take them out by then."),
    )
    visit = VisitField(required=False)
    temperature_c = TemperatureField(
        label=_("Warmest today"), required=False, help_text=_("Some treatments harm brood and queen in heat.")
    )
    dose = forms.CharField(label=_("Dose"), required=False, max_length=60, help_text=_("Such as 2 strips a box."))
    label_lot = forms.CharField(label=_("Lot on the label"), required=False, max_length=40)
    leaves_out_weak = forms.BooleanField(
        label=_("leave out colonies too weak for it"),
        required=False,
        help_text=_("The others are then recorded one by one."),
    )

    field_order = ["kind", "colony", "starts_on", "due_out_on", "visit", "temperature_c", "dose", "label_lot"]

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["kind"].queryset = queries.treatment_kinds()
        self.fields["kind"].label_from_instance = _with_days


def _with_days(kind: TreatmentKind) -> str:
    days = {"name": kind.name, "least": kind.least_days, "most": kind.most_days}
    if kind.least_days == kind.most_days:
        return str(_("%(name)s, %(most)s d") % days)
    return str(_("%(name)s, %(least)s to %(most)s d") % days)


class EndTreatment(LedgerForm):
    on = DayField(label=_("Ended on"))
