from datetime import date
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.db.models import QuerySet
from django.utils.translation import gettext_lazy as _

from apiary_ops.core.fields import DayField
from apiary_ops.core.forms import LedgerForm
from apiary_ops.nucs.models import Nuc
from apiary_ops.queens.models import Lot


class PastDayForm(LedgerForm):
    """A form about something that has happened: its day is not to come."""

    day_field = "on"

    def __init__(self, *args: Any, today: date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.today = today
        self.fields[self.day_field].initial = today

    def clean(self) -> dict[str, Any]:
        day = self.cleaned_data.get(self.day_field)
        if day and day > self.today:
            self.add_error(self.day_field, ValidationError(_("That day is still to come."), code="future"))
        return self.cleaned_data


class LotField(forms.ModelChoiceField):
    """A lot with queens in the bank, the first to hive first."""

    def label_from_instance(self, lot: Lot) -> str:
        words = _("%(code)s, %(breeder)s: %(banked)s in the bank, hive by %(day)s")
        day = f"{lot.hive_by:%a} {lot.hive_by.day} {lot.hive_by:%b}"
        return str(words) % {
            "code": lot.code,
            "breeder": lot.order.supplier.name,
            "banked": lot.banked,
            "day": day,
        }


class PlanSplitDay(LedgerForm):
    yard = forms.ModelChoiceField(label=_("Yard"), queryset=None, empty_label=_("choose a yard"))
    on = DayField(label=_("Day"))

    def __init__(self, *args: Any, yards: QuerySet[Any], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["yard"].queryset = yards


class IntroduceQueens(PastDayForm):
    day_field = "queen_in_on"

    lot = LotField(label=_("Lot"), queryset=None, empty_label=_("choose a lot"))
    queen_in_on = DayField(label=_("Queens in on"))

    def __init__(self, *args: Any, lots: QuerySet[Lot], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["lot"].queryset = lots


class Requeen(PastDayForm):
    lot = LotField(label=_("Spare queen of lot"), queryset=None, empty_label=_("choose a lot"))
    on = DayField(label=_("Queen in on"))

    def __init__(self, *args: Any, lots: QuerySet[Lot], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["lot"].queryset = lots


class EndNuc(PastDayForm):
    state = forms.ChoiceField(
        label=_("What became of it"),
        choices=[(state.value, state.label) for state in (Nuc.State.LOST, Nuc.State.UNITED, Nuc.State.KEPT)],
        widget=forms.RadioSelect,
    )
    on = DayField(label=_("Day"))
    cause = forms.CharField(
        label=_("Cause"), max_length=120, required=False, help_text=_("For a lost nuc: lost to what, as far as known.")
    )


class HoldNuc(LedgerForm):
    reason = forms.CharField(label=_("On hold because"), max_length=200)
