"""Tasks and holds."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from apiary_ops.core.fields import DayField, RowsField
from apiary_ops.core.forms import LedgerForm, OnceForm, VersionedForm
from apiary_ops.yards import queries
from apiary_ops.yards.models import Colony, TaskRule


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


class EditTaskRule(VersionedForm):
    is_on = forms.BooleanField(label=_("in use"), required=False)
    days = forms.IntegerField(label=_("Due within, days"), min_value=0, max_value=60)
    most_frames = forms.DecimalField(
        label=_("Only up to, frames of bees"),
        required=False,
        min_value=0,
        max_value=20,
        max_digits=3,
        decimal_places=1,
        help_text=_("Leave empty for colonies of any strength."),
    )

    def __init__(self, *args: Any, code: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if code == TaskRule.Code.STRIPS:
            self.fields["days"].label = _("Days before the last day")
        if code != TaskRule.Code.LOWER_BOX:
            del self.fields["most_frames"]


class TasksToFinish(LedgerForm):
    """The tasks ticked in a list."""

    task = RowsField(queryset=None, error_messages={"required": _("Tick what was done first.")})

    def __init__(self, *args: Any, season_id: int, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["task"].queryset = queries.tasks(season_id)
