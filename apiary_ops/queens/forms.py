from datetime import date, timedelta
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

from apiary_ops.core.fields import DayField, MoneyField
from apiary_ops.core.forms import LedgerForm, OnceForm, VersionedForm

# A bill is usually due in a month; a first guess to be corrected from the bill itself.
DUE_DAYS = 30


class OrderQueens(LedgerForm):
    supplier = forms.ModelChoiceField(label=_("Breeder"), queryset=None, empty_label=_("choose a breeder"))
    queens = forms.IntegerField(label=_("Queens"), min_value=1, max_value=10_000)
    unit_price = MoneyField(label=_("Price each"))
    ship_week = DayField(label=_("Ship week"), help_text=_("Any day of the week in which they are shipped."))
    ordered_on = DayField(label=_("Ordered on"))
    cancel_by = DayField(
        label=_("Cancel by"), required=False, help_text=_("The last day on which the breeder takes the order back.")
    )

    def __init__(self, *args: Any, breeders: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["supplier"].queryset = breeders


class EditQueenOrder(VersionedForm):
    queens = forms.IntegerField(label=_("Queens"), min_value=1, max_value=10_000)
    unit_price = MoneyField(label=_("Price each"), help_text=_("Queens that have come keep the price they came at."))
    ship_week = DayField(label=_("Ship week"), help_text=_("Any day of the week in which they are shipped."))
    cancel_by = DayField(label=_("Cancel by"), required=False)


class _NotAfterToday(LedgerForm):
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


class CancelOrder(_NotAfterToday):
    on = DayField(label=_("Cancelled on"))


class ReceiveLot(OnceForm, _NotAfterToday):
    day_field = "received_on"

    received_on = DayField(label=_("Received on"))
    received = forms.IntegerField(
        label=_("Queens received"), min_value=1, max_value=10_000, help_text=_("All in the box, dead or alive.")
    )
    dead_on_arrival = forms.IntegerField(label=_("Of these dead on arrival"), min_value=0, initial=0)
    freight = MoneyField(label=_("Freight"), help_text=_("As on the breeder's bill; 0 if there is none."))
    papers = MoneyField(label=_("Health and import papers"), help_text=_("As on the bill; 0 if there are none."))
    reference = forms.CharField(label=_("Number of their bill"), max_length=60)
    due_on = DayField(label=_("Bill due on"))

    def __init__(self, *args: Any, today: date, **kwargs: Any) -> None:
        super().__init__(*args, today=today, **kwargs)
        self.fields["due_on"].initial = today + timedelta(days=DUE_DAYS)


class DeadQueens(OnceForm, _NotAfterToday):
    queens = forms.IntegerField(label=_("Queens found dead"), min_value=1, max_value=10_000)
    on = DayField(label=_("Counted on"))
