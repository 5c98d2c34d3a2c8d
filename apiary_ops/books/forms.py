from typing import Any

from django import forms
from django.forms import BaseFormSet, formset_factory
from django.utils.translation import gettext_lazy as _

from apiary_ops.business.queries import seasons
from apiary_ops.core.fields import DayField, MoneyField
from apiary_ops.core.forms import LedgerForm, OnceForm

from .compute import Posting

ROWS_OFFERED = 6


class WriteEntry(OnceForm):
    posted_on = DayField(label=_("Day"))
    season = forms.ModelChoiceField(label=_("Season"), queryset=seasons(), empty_label=None)
    memo = forms.CharField(label=_("What happened"), max_length=200)


class EntryRow(LedgerForm):
    account = forms.ChoiceField(label=_("Account"), required=False)
    debit = MoneyField(label=_("Debit"), required=False, allow_zero=False)
    credit = MoneyField(label=_("Credit"), required=False, allow_zero=False)
    subject = forms.CharField(label=_("For"), required=False, max_length=80)

    def __init__(self, *args: Any, accounts: list[Any], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["account"].choices = [("", "–"), *accounts]

    def clean(self) -> dict[str, Any]:
        values = super().clean()
        if not values.get("account"):
            self.add_error("account", _("Choose the account, or empty the row."))
        elif not self.errors and bool(values["debit"]) is bool(values["credit"]):
            self.add_error("debit", _("Enter a debit or a credit, one of them."))
        return values

    @property
    def posting(self) -> Posting:
        values = self.cleaned_data
        cents = values["debit"].cents if values["debit"] else -values["credit"].cents
        return Posting(values["account"], cents, subject=values["subject"])


class EntryRows(BaseFormSet):
    @property
    def postings(self) -> list[Posting]:
        """What the filled rows say."""
        return [form.posting for form in self.forms if form.has_changed()]


EntryRowSet = formset_factory(EntryRow, formset=EntryRows, extra=ROWS_OFFERED, max_num=40)


class ReverseEntry(OnceForm):
    reversed_on = DayField(label=_("Day of the reversal"))
    reason = forms.CharField(label=_("Why"), max_length=150)


class OpenYear(LedgerForm):
    year = forms.IntegerField(label=_("Fiscal year"), min_value=2000, max_value=2099)
    starts_on = DayField(label=_("Starts on"), help_text=_("The first of a month; the year has twelve months."))

    def clean_starts_on(self) -> Any:
        day = self.cleaned_data["starts_on"]
        if day.day != 1:
            raise forms.ValidationError(_("A fiscal year starts on the first of a month."))
        return day
