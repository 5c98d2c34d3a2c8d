from collections.abc import Sequence
from datetime import date
from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from apiary_ops.core.forms import LedgerForm, VersionedForm

from . import compute, services
from .models import Assumptions, WeekLimit

STATED = ("boxes", "drawn_combs", "food_frames", "person_days", "pickup_places")


class AssumptionsForm(VersionedForm):
    """One field for each assumption; its help names the allowed range and the source."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for parameter in compute.ASSUMED:
            self.fields[parameter.name] = _assumption_field(parameter)

    @property
    def changes(self) -> dict[str, Any]:
        return {name: value for name, value in self.cleaned_data.items() if name != "version"}


def _assumption_field(parameter: compute.Parameter) -> forms.Field:
    column = Assumptions._meta.get_field(parameter.name)
    places = getattr(column, "decimal_places", 0)
    allowed = _("%(low)s to %(high)s %(unit)s") % {
        "low": f"{parameter.low:g}".replace("-", "−"),
        "high": f"{parameter.high:g}",
        "unit": parameter.unit,
    }
    return (forms.DecimalField if places else forms.IntegerField)(
        label=_capital(str(column.verbose_name)),
        min_value=parameter.low if places else int(parameter.low),
        max_value=parameter.high if places else int(parameter.high),
        help_text=f"{allowed}. {_capital(parameter.source)}.",
        **({"decimal_places": places} if places else {}),
    )


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]


class OwnFactorForm(LedgerForm):
    """The factor that was shown and is accepted."""

    view = forms.ChoiceField(choices=[("below", "below"), ("above", "above")], widget=forms.HiddenInput)
    warmer_than_c = forms.DecimalField(widget=forms.HiddenInput)
    factor = forms.DecimalField(widget=forms.HiddenInput)


class WeekForm(VersionedForm):
    """What one week adds; version 0 is a week about which nothing was stated yet."""

    version = forms.IntegerField(widget=forms.HiddenInput, min_value=0)
    week = forms.DateField(widget=forms.HiddenInput)
    boxes = forms.IntegerField(label=gettext_lazy("Boxes"), required=False, min_value=0, max_value=20_000)
    drawn_combs = forms.IntegerField(label=gettext_lazy("Drawn combs"), required=False, min_value=0, max_value=50_000)
    food_frames = forms.IntegerField(label=gettext_lazy("Food frames"), required=False, min_value=0, max_value=50_000)
    person_days = forms.DecimalField(
        label=gettext_lazy("Person-days"), required=False, min_value=0, max_value=500, decimal_places=1
    )
    pickup_places = forms.IntegerField(
        label=gettext_lazy("Pickup places, nucs"), required=False, min_value=0, max_value=20_000
    )

    def clean_week(self) -> date:
        week = self.cleaned_data["week"]
        if week.weekday():
            raise forms.ValidationError(_("Weeks are named by their Monday."), code="monday")
        return week

    @property
    def monday(self) -> date | None:
        """The week this row is about, also where it was sent with the form."""
        week = self["week"].value()
        try:
            return date.fromisoformat(week) if isinstance(week, str) else week
        except ValueError:
            return None

    def draft(self) -> services.WeekDraft:
        cleaned = self.cleaned_data
        return services.WeekDraft(cleaned["week"], cleaned["version"], {name: cleaned[name] for name in STATED})


WeekFormSet = forms.formset_factory(WeekForm, extra=0, max_num=60, absolute_max=80)


def weeks_formset(data: Any, rows: Sequence[WeekLimit]) -> Any:
    """A form a week, in the order of `rows`."""
    initial = [
        {"week": row.week, "version": row.version if row.pk else 0, **{name: getattr(row, name) for name in STATED}}
        for row in rows
    ]
    return WeekFormSet(data, initial=initial, prefix="weeks")


def show_stale_week(formset: Any, refusal: Any) -> None:
    """Mark the week that someone else changed, with what stands there now."""
    for form in formset:
        if form.cleaned_data["week"] == refusal.current.week:
            form.show_stale(refusal)
