from django import forms
from django.utils.translation import gettext_lazy as _

from apiary_ops.core.fields import DayField
from apiary_ops.core.forms import LedgerForm
from apiary_ops.kernel.weeks import Week


class NarrowPlan(LedgerForm):
    q = forms.CharField(label=_("Order or buyer"), max_length=60, required=False)
    show = forms.ChoiceField(
        label=_("Lines"),
        choices=[("", _("all")), ("short", _("short only")), ("given", _("given only"))],
        required=False,
    )
    sort = forms.CharField(required=False, widget=forms.HiddenInput)


class FindOrder(LedgerForm):
    order = forms.CharField(label=_("Order number"), max_length=12, help_text=_("Such as 2027-0042."))


class PinLine(LedgerForm):
    """For one order's lines; `kinds` are all those its lines accept."""

    line = forms.ChoiceField(label=_("Line"))
    day = DayField(label=_("Week"), help_text=_("Any day of the week; the whole week is meant."))
    kind = forms.ChoiceField(label=_("Kind"))
    reason = forms.CharField(label=_("Reason"), max_length=200, help_text=_("So that others leave it there."))

    def __init__(self, *args, lines, kinds, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["line"].choices = lines
        self.fields["kind"].choices = kinds

    def clean_line(self):
        return int(self.cleaned_data["line"])

    def clean_kind(self):
        return int(self.cleaned_data["kind"])

    def clean_day(self):
        return Week.of(self.cleaned_data["day"]).monday
