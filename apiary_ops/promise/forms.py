from datetime import date, timedelta
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from apiary_ops.core.fields import DayField
from apiary_ops.core.forms import LedgerForm
from apiary_ops.kernel.weeks import Week

from .models import Telling


class OverrideForm(LedgerForm):
    reason = forms.CharField(
        label=_("Reason"),
        max_length=200,
        help_text=_("It stays on the record of the order for everyone to read."),
    )


class TellForm(LedgerForm):
    """What the buyer was told: a week by any of its days, or a day."""

    firmness = forms.ChoiceField(
        label=_("How firmly"), choices=[(Telling.Firmness.WEEK, _("a week")), (Telling.Firmness.DAY, _("a day"))]
    )
    on = DayField(label=_("Day, or any day of the week"))
    reason = forms.CharField(
        label=_("Why it moved"),
        max_length=200,
        required=False,
        help_text=_("When it differs from what was told before."),
    )

    def span(self) -> dict[str, Any]:
        """`firmness`, `starts_on` and `ends_before`, as the service takes them."""
        day: date = self.cleaned_data["on"]
        if self.cleaned_data["firmness"] == Telling.Firmness.WEEK:
            week = Week.of(day)
            return {"firmness": Telling.Firmness.WEEK, "starts_on": week.monday, "ends_before": week.ends_before}
        return {"firmness": Telling.Firmness.DAY, "starts_on": day, "ends_before": day + timedelta(days=1)}
