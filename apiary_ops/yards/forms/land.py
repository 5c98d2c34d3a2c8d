"""Days to stay away, certificates, walks round the fence."""

from datetime import date
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from apiary_ops.core.fields import DayField
from apiary_ops.core.forms import LedgerForm, OnceForm
from apiary_ops.yards.compute import FenceWalk


class AddNoGo(OnceForm):
    starts_on = DayField(label=_("From"))
    ends_on = DayField(label=_("To, with that day"), required=False, help_text=_("Leave empty for a single day."))
    reason = forms.CharField(label=_("Why"), max_length=120, help_text=_("Such as spraying, lambing, a wedding."))

    field_order = ["starts_on", "ends_on", "reason"]

    def clean_ends_on(self) -> date | None:
        return self.cleaned_data["ends_on"] or self.cleaned_data.get("starts_on")


class CertificateFacts(LedgerForm):
    number = forms.CharField(label=_("Certificate number"), max_length=40)
    inspector = forms.CharField(label=_("Inspector"), max_length=120, required=False)
    issued_on = DayField(label=_("Issued on"))
    expires_on = DayField(label=_("Good until, with that day"))


class RecordCertificate(OnceForm, CertificateFacts):
    pass


class CheckFence(OnceForm):
    on = DayField(label=_("Day"))
    volts = forms.IntegerField(
        label=_("Volts on the wire"),
        required=False,
        min_value=0,
        max_value=20_000,
        help_text=_("At least 6,000. Leave empty when it was not measured."),
    )
    wires_tight = forms.BooleanField(label=_("wires tight, live and earthed in turn"), required=False)
    earth_good = forms.BooleanField(label=_("earth rods deep and joined"), required=False)
    growth_clear = forms.BooleanField(label=_("nothing grows into the wires"), required=False)
    charger_works = forms.BooleanField(label=_("charger and battery in order"), required=False)
    signs_up = forms.BooleanField(label=_("warning signs up"), required=False)
    note = forms.CharField(label=_("Note"), required=False, max_length=300)

    field_order = ["on", "volts"]

    @property
    def walk(self) -> FenceWalk:
        seen: dict[str, Any] = {name: self.cleaned_data[name] for name in WALK_FIELDS}
        return FenceWalk(**seen)


WALK_FIELDS = tuple(name for name in CheckFence.base_fields if name in FenceWalk.__dataclass_fields__)
