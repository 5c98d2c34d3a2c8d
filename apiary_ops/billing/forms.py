from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from apiary_ops.core.fields import DayField, MoneyField
from apiary_ops.core.forms import LedgerForm, OnceForm

from .models import METHODS


class MoneyReceived(OnceForm):
    """Money that came in; a day after `today` is a slip of the pen."""

    amount = MoneyField(label=_("Amount"), allow_zero=False)
    method = forms.ChoiceField(label=_("How"), choices=METHODS, initial="transfer")
    received_on = DayField(label=_("Received on"))

    def __init__(self, *args: Any, today: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.today = today

    def clean_received_on(self) -> Any:
        return not_after(self.cleaned_data["received_on"], self.today)

    @property
    def values(self) -> dict[str, Any]:
        """What the form says, as the services take it."""
        values = dict(self.cleaned_data)
        values["cents"] = values.pop("amount").cents
        return values


class MoneyOut(OnceForm):
    amount = MoneyField(label=_("Amount"), allow_zero=False)
    on = DayField(label=_("Day"))
    reason = forms.CharField(label=_("Why"), max_length=200)

    def __init__(self, *args: Any, today: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.today = today

    def clean_on(self) -> Any:
        return not_after(self.cleaned_data["on"], self.today)

    @property
    def values(self) -> dict[str, Any]:
        """What the form says, as the services take it."""
        values = dict(self.cleaned_data)
        values["cents"] = values.pop("amount").cents
        return values


class RefundDeposit(MoneyOut):
    method = forms.ChoiceField(label=_("How"), choices=METHODS, initial="transfer")
    field_order = ("amount", "method", "on", "reason")


class KeepDeposit(MoneyOut):
    pass


class CancelLine(LedgerForm):
    reason = forms.CharField(label=_("Why"), max_length=200)


def not_after(day: Any, today: Any) -> Any:
    if day > today:
        raise forms.ValidationError(_("That day has not come yet. Choose today or an earlier day."))
    return day
