from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from apiary_ops.core.fields import DayField, MoneyField
from apiary_ops.core.forms import LedgerForm, VersionedForm

from .models import Business, TaxCategory, known_time_zone

SETTINGS_FIELDS = (
    "name",
    "address",
    "phone",
    "email",
    "registration",
    "time_zone",
    "paper",
    "temperature_unit",
    "weight_unit",
    "distance_unit",
    "inspector",
    "inspector_phone",
    "has_hive_beetle",
    "payment_instructions",
    "cautions",
)


class Settings(VersionedForm):
    name = forms.CharField(label=_("Business name"), max_length=120)
    address = forms.CharField(label=_("Address"), max_length=400, widget=forms.Textarea(attrs={"rows": 3}))
    phone = forms.CharField(label=_("Telephone"), max_length=40, required=False)
    email = forms.EmailField(label=_("E-mail"), required=False)
    registration = forms.CharField(
        label=_("Tax registration number"),
        max_length=40,
        required=False,
        help_text=_("Printed on invoices. Whether you need one is a question for your accountant."),
    )
    time_zone = forms.CharField(
        label=_("Time zone"),
        max_length=60,
        validators=[known_time_zone],
        help_text=_("By its usual name, such as America/Halifax."),
    )
    paper = forms.ChoiceField(label=_("Paper"), choices=Business.Paper.choices)
    temperature_unit = forms.ChoiceField(label=_("Temperature"), choices=[("C", "°C"), ("F", "°F")])
    weight_unit = forms.ChoiceField(label=_("Weight"), choices=[("kg", "kg"), ("lb", "lb")])
    distance_unit = forms.ChoiceField(label=_("Distance"), choices=[("km", "km"), ("mi", "mi")])
    inspector = forms.CharField(
        label=_("Bee inspector"),
        max_length=120,
        required=False,
        help_text=_("Whom to call when disease is suspected. The field book shows it where the signal may be gone."),
    )
    inspector_phone = forms.CharField(label=_("Inspector's telephone"), max_length=40, required=False)
    has_hive_beetle = forms.BooleanField(
        label=_("Small hive beetle is about"),
        required=False,
        help_text=_("It breeds in patties: give only what is eaten within a week."),
    )
    payment_instructions = forms.CharField(
        label=_("How to pay"), max_length=600, required=False, widget=forms.Textarea(attrs={"rows": 2})
    )
    cautions = forms.CharField(
        label=_("Cautions printed on papers"),
        max_length=2000,
        required=False,
        widget=forms.Textarea(attrs={"rows": 4}),
        help_text=_("One a line."),
    )


class SeasonDates(LedgerForm):
    starts_on = DayField(label=_("Starts on"))
    ends_before = DayField(label=_("Ends before"))

    def clean(self) -> None:
        cleaned = super().clean() or self.cleaned_data
        starts_on, ends_before = cleaned.get("starts_on"), cleaned.get("ends_before")
        if starts_on and ends_before and ends_before <= starts_on:
            self.add_error("ends_before", _("A season ends after it starts."))


class OpenSeason(SeasonDates):
    year = forms.IntegerField(label=_("Spring of"), min_value=2000, max_value=2099)
    field_order = ("year", "starts_on", "ends_before")


class EditSeason(SeasonDates, VersionedForm):
    pass


class StateTerms(LedgerForm):
    valid_from = DayField(label=_("Valid from"))
    deposit_per_nuc = MoneyField(label=_("Deposit per nuc"))
    due_days = forms.IntegerField(label=_("Days to pay the deposit"), min_value=0, max_value=365, initial=14)
    refund_until = DayField(
        label=_("Refunded until"),
        help_text=_("Only the day and month count; they repeat every season."),
    )
    text = forms.CharField(label=_("Terms in words"), max_length=2000, widget=forms.Textarea(attrs={"rows": 4}))


class AddTaxCategory(LedgerForm):
    name = forms.CharField(
        label=_("Name"), max_length=80, help_text=_("As it stands on invoices, such as “Live bees, zero rated”.")
    )
    en16931_code = forms.ChoiceField(
        label=_("How it is taxed"), choices=TaxCategory._meta.get_field("en16931_code").choices
    )
    percent = forms.DecimalField(
        label=_("Percent"),
        min_value=0,
        max_value=99,
        max_digits=6,
        decimal_places=3,
        localize=True,
        help_text=_("0 when it is zero rated, exempt or outside tax."),
    )
    valid_from = DayField(label=_("Valid from"))
    note = forms.CharField(
        label=_("Note"),
        max_length=200,
        required=False,
        help_text=_("Printed on invoices: the reason no tax is charged."),
    )

    def clean(self) -> dict[str, Any]:
        values: dict[str, Any] = super().clean() or {}
        if values.get("en16931_code") in ("Z", "E", "O") and values.get("percent"):
            self.add_error("percent", _("Only what is taxed at the standard rate has a percent. Write 0."))
        return values


class AddTaxRate(LedgerForm):
    category = forms.ModelChoiceField(label=_("Category"), queryset=TaxCategory.objects.none())
    percent = forms.DecimalField(
        label=_("Percent"), min_value=0, max_value=99, max_digits=6, decimal_places=3, localize=True
    )
    valid_from = DayField(label=_("Valid from"))

    def __init__(self, *args, categories, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["category"].queryset = categories
