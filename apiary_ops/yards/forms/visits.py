"""The header of a visit, and what was done and used on it."""

from collections.abc import Iterable
from decimal import Decimal
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from apiary_ops.core.fields import DayField, DistanceField, RowsField, TemperatureField
from apiary_ops.core.forms import LedgerForm, OnceForm, VersionedForm
from apiary_ops.people.queries import users
from apiary_ops.yards.models import JOBS, KINDS_OF_WORK, MATERIALS, SKIES, Visit
from apiary_ops.yards.services import MaterialDraft

USED = "used_"


class ClockField(forms.TimeField):
    """A time of day by the yard's own clock, to the minute."""

    def __init__(self, **kwargs: Any) -> None:
        kwargs.setdefault("widget", forms.TimeInput(attrs={"type": "time"}, format="%H:%M"))
        super().__init__(required=False, input_formats=["%H:%M", "%H:%M:%S", "%H.%M"], **kwargs)


class AmountField(forms.DecimalField):
    """How much was used; a comma or a point divides, and nothing typed is nothing used."""

    def __init__(self, **kwargs: Any) -> None:
        kwargs.setdefault("widget", forms.TextInput(attrs={"inputmode": "decimal", "maxlength": 9}))
        super().__init__(required=False, min_value=0, max_digits=8, decimal_places=2, **kwargs)

    def to_python(self, value: Any) -> Decimal | None:
        return super().to_python(value.strip().replace(",", ".") if isinstance(value, str) else value)

    def prepare_value(self, value: Any) -> Any:
        return f"{value.normalize():f}" if isinstance(value, Decimal) else value


class _VisitFields(LedgerForm):
    temperature_c = TemperatureField(
        label=_("Temperature"), required=False, help_text=_("A warm count is brought down, so note it when you can.")
    )
    sky = forms.ChoiceField(label=_("Sky"), required=False, choices=[("", _("not noted")), *SKIES])
    arrived_at = ClockField(label=_("Arrived"))
    work = forms.ChoiceField(label=_("Work"), choices=KINDS_OF_WORK)
    depth = forms.ChoiceField(
        label=_("Looked at"),
        choices=Visit.Depth.choices,
        help_text=_("Ten of a yard, or a count by eye, say less than each colony, and the forecast knows it."),
    )
    view = forms.ChoiceField(
        label=_("Frames are counted"),
        choices=Visit.View.choices,
        help_text=_("From below with the boxes parted is the steadier count."),
    )
    crew_ids = RowsField(label=_("Crew"), required=False, queryset=None, widget=forms.CheckboxSelectMultiple)
    people = forms.IntegerField(label=_("People"), min_value=1, max_value=20, initial=1)
    km = DistanceField(label=_("Driven"), max_value=2000)
    minutes = forms.IntegerField(
        label=_("Minutes at the yard"),
        required=False,
        min_value=0,
        max_value=1440,
        help_text=_("They follow from the times when both are noted."),
    )
    notes = forms.CharField(label=_("Notes"), required=False, max_length=1000, widget=forms.Textarea(attrs={"rows": 3}))

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["crew_ids"].queryset = users().filter(is_active=True)

    def clean_crew_ids(self) -> list[int]:
        return sorted(user.pk for user in self.cleaned_data["crew_ids"])

    def clean_minutes(self) -> int:
        return self.cleaned_data["minutes"] or 0


class _WorkFields(LedgerForm):
    """Jobs done and material used up, one amount for each material of the list."""

    jobs = forms.MultipleChoiceField(
        label=_("Jobs done"), required=False, choices=JOBS, widget=forms.CheckboxSelectMultiple
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for material, label in MATERIALS:
            self.fields[USED + material] = AmountField(label=_("Used: %(material)s") % {"material": label})

    @property
    def used(self) -> dict[str, Decimal]:
        """What was used for the whole yard, by material."""
        amounts = {material: self.cleaned_data[USED + material] for material, _label in MATERIALS}
        return {material: amount for material, amount in amounts.items() if amount}

    @property
    def materials(self) -> list[MaterialDraft]:
        return [MaterialDraft(material, amount) for material, amount in self.used.items()]


class StartVisit(OnceForm, _VisitFields):
    on = DayField(label=_("Day"))

    field_order = ["on", "arrived_at"]


class LeaveVisit(OnceForm, _WorkFields):
    left_at = ClockField(label=_("Left"))
    minutes = forms.IntegerField(
        label=_("Minutes at the yard"),
        required=False,
        min_value=0,
        max_value=1440,
        help_text=_("Only where nobody noted when the crew arrived."),
    )
    km = DistanceField(label=_("Driven"), required=False, max_value=2000)

    field_order = ["left_at", "minutes", "km", "jobs"]


class EditVisit(VersionedForm, _VisitFields, _WorkFields):
    left_at = ClockField(label=_("Left"))

    field_order = ["arrived_at", "left_at", "minutes", "temperature_c", "sky", "work", "depth", "view"]

    def materials_beside(self, standing: Iterable[MaterialDraft]) -> list[MaterialDraft]:
        """What was used as it stands from now on; what went to one colony, or has a note, is not on this form."""
        standing = list(standing)
        kept = [row for row in standing if row.colony_id is not None or row.note]
        plain = [row for row in standing if row not in kept]
        if summed(plain) == self.used:
            return standing
        return kept + self.materials


def summed(rows: Iterable[MaterialDraft]) -> dict[str, Decimal]:
    """How much of each material was used for the whole yard."""
    sums: dict[str, Decimal] = {}
    for row in rows:
        if row.colony_id is None and not row.note:
            sums[row.material] = sums.get(row.material, Decimal(0)) + row.quantity
    return sums


def amounts_of(rows: Iterable[MaterialDraft]) -> dict[str, Decimal]:
    """The same as a form is opened with."""
    return {USED + material: amount for material, amount in summed(rows).items()}


VISIT_FIELDS = (
    "arrived_at",
    "left_at",
    "temperature_c",
    "sky",
    "work",
    "depth",
    "view",
    "people",
    "km",
    "minutes",
    "notes",
)
