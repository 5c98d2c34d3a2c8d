"""A new set of grade rules: one rule a row."""

from decimal import Decimal
from typing import Any

from django import forms
from django.forms import BaseFormSet, formset_factory
from django.utils.translation import gettext_lazy as _

from apiary_ops.core.fields import DayField
from apiary_ops.core.forms import LedgerForm
from apiary_ops.yards.services import RuleDraft

RULES_OFFERED = 8


class NewRules(LedgerForm):
    valid_from = DayField(label=_("Valid from"))
    shown = forms.CharField(required=False, widget=forms.HiddenInput)  # the rules whose effect was last shown


class RuleRow(LedgerForm):
    grade = forms.CharField(label=_("Grade"), required=False, max_length=20)
    least_frames = forms.DecimalField(
        label=_("Strength from, frames"), required=False, min_value=0, max_value=20, max_digits=3, decimal_places=1
    )
    least_sealed_frames = forms.DecimalField(
        label=_("Sealed brood from, frames"), required=False, min_value=0, max_value=20, max_digits=3, decimal_places=1
    )
    gives_nucs = forms.BooleanField(label=_("Counts for nucs"), required=False, initial=True)

    def clean(self) -> dict[str, Any]:
        values = super().clean() or {}
        if self.errors:
            return values
        if values["grade"] and values["least_frames"] is None:
            self.add_error("least_frames", _("Enter the frames it takes, or 0."))
        if not values["grade"] and (values["least_frames"] is not None or values["least_sealed_frames"] is not None):
            self.add_error("grade", _("Name the grade, or empty the row."))
        return values


class RuleRows(BaseFormSet):
    @property
    def rules(self) -> list[RuleDraft]:
        """What the filled rows say, in their order."""
        filled = [form.cleaned_data for form in self.forms if form.cleaned_data.get("grade")]
        return [
            RuleDraft(
                grade=row["grade"],
                least_frames=Decimal(row["least_frames"]),
                least_sealed_frames=row["least_sealed_frames"],
                gives_nucs=row["gives_nucs"],
            )
            for row in filled
        ]


RuleRowSet = formset_factory(RuleRow, formset=RuleRows, extra=RULES_OFFERED, max_num=RULES_OFFERED)
