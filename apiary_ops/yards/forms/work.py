"""Tasks and holds."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from apiary_ops.core.fields import DayField
from apiary_ops.core.forms import LedgerForm, OnceForm
from apiary_ops.yards import queries
from apiary_ops.yards.models import Colony


class AddTask(OnceForm):
    what = forms.CharField(label=_("What"), max_length=120)
    due_on = DayField(label=_("By"))
    colony = forms.ModelChoiceField(
        label=_("Colony"), required=False, queryset=None, empty_label=_("the whole yard"), to_field_name="tag"
    )

    field_order = ["what", "due_on", "colony"]

    def __init__(self, *args: Any, yard_id: int, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["colony"].queryset = _standing(yard_id)


class PlaceHold(OnceForm):
    reason = forms.CharField(
        label=_("Reason"),
        max_length=200,
        help_text=_("Such as disease suspected, sprayed field, waiting for a result."),
    )
    starts_on = DayField(label=_("From"))
    colony = forms.ModelChoiceField(
        label=_("Colony"), required=False, queryset=None, empty_label=_("the whole yard"), to_field_name="tag"
    )

    field_order = ["reason", "starts_on", "colony"]

    def __init__(self, *args: Any, yard_id: int, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["colony"].queryset = _standing(yard_id)


def _standing(yard_id: int) -> Any:
    return queries.colonies().filter(yard_id=yard_id, state=Colony.State.LIVE).order_by("position")


class LiftHold(LedgerForm):
    on = DayField(label=_("Day"))
    because = forms.CharField(label=_("Why it is safe"), max_length=200, help_text=_("Who agreed, and what was found."))
