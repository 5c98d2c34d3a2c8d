from typing import Any

from django import forms
from django.forms import BaseFormSet, formset_factory
from django.utils.translation import gettext_lazy as _

from apiary_ops.business.queries import seasons
from apiary_ops.core.fields import DayField, MoneyField
from apiary_ops.core.forms import LedgerForm, OnceForm, VersionedForm
from apiary_ops.kernel.money import MINOR_UNITS

from . import queries
from .models import CostAssumptions
from .services import BillPart

ROWS_OFFERED = 6
SOURCES = [("bank", _("bank")), ("cash", _("cash"))]
CURRENCIES = [(code, code) for code in sorted(MINOR_UNITS)]
SUPPLIER_FIELDS = ("name", "phone", "email", "currency", "sells_queens", "notes")


class RecordBill(OnceForm):
    supplier = forms.ModelChoiceField(label=_("Supplier"), queryset=queries.suppliers(), empty_label="–")
    reference = forms.CharField(label=_("Their number"), max_length=60, help_text=_("As it stands on their bill."))
    billed_on = DayField(label=_("Bill date"))
    due_on = DayField(label=_("Due on"))
    season = forms.ModelChoiceField(label=_("Season it is for"), queryset=seasons(), empty_label=None)


class BillRow(LedgerForm):
    account = forms.ChoiceField(label=_("Charged to"), required=False)
    description = forms.CharField(label=_("What"), required=False, max_length=200)
    amount = MoneyField(label=_("Amount"), required=False, allow_negative=True, allow_zero=False)

    def __init__(self, *args: Any, accounts: list[Any], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["account"].choices = [("", "–"), *accounts]

    def clean(self) -> dict[str, Any]:
        values = super().clean()
        wanted = {
            "account": _("Choose the account, or empty the row."),
            "description": _("Say what it is."),
            "amount": _("Enter the amount."),
        }
        for name, words in wanted.items():
            if name not in self.errors and not values.get(name):
                self.add_error(name, words)
        return values

    @property
    def part(self) -> BillPart:
        values = self.cleaned_data
        return BillPart(values["account"], values["amount"].cents, values["description"])


class BillRows(BaseFormSet):
    @property
    def parts(self) -> list[BillPart]:
        """What the filled rows say."""
        return [form.part for form in self.forms if form.has_changed()]


BillRowSet = formset_factory(BillRow, formset=BillRows, extra=ROWS_OFFERED, max_num=40)


class PayBill(OnceForm):
    paid_on = DayField(label=_("Paid on"))
    amount = MoneyField(label=_("Amount"), allow_zero=False)
    paid_from = forms.ChoiceField(label=_("From"), choices=SOURCES, initial="bank")


class PutRight(OnceForm):
    reversed_on = DayField(label=_("Day of the reversal"), help_text=_("A day of an open period."))
    reason = forms.CharField(label=_("Why"), max_length=150)


class AddSupplier(LedgerForm):
    name = forms.CharField(label=_("Name"), max_length=120)
    phone = forms.CharField(label=_("Telephone"), max_length=40, required=False)
    email = forms.EmailField(label=_("E-mail"), required=False)
    currency = forms.ChoiceField(label=_("Bills us in"), choices=CURRENCIES)
    sells_queens = forms.BooleanField(label=_("Breeds queens"), required=False)
    notes = forms.CharField(label=_("Notes"), max_length=1000, required=False, widget=forms.Textarea)


class EditSupplier(VersionedForm, AddSupplier):
    pass


class StateAssumptions(VersionedForm):
    bees_share_percent = forms.DecimalField(
        label=_("The bees' share, %"),
        min_value=0,
        max_value=100,
        max_digits=4,
        decimal_places=1,
        help_text=_("How much of autumn feed, mite treatment and winter losses the nucs bear. An assumption of yours."),
    )
    pooled_driver = forms.ChoiceField(
        label=_("Pooled costs are shared by"),
        choices=CostAssumptions.Driver.choices,
        help_text=_("Labour, driving, rent, insurance, inspection. By nucs made, the nucs bear all of them."),
    )
    own_hours = forms.DecimalField(
        label=_("Own hours on nucs"),
        required=False,
        min_value=0,
        max_digits=6,
        decimal_places=1,
        help_text=_("Unpaid hours of the owner and the family. Shown beside the margin, never in the books."),
    )
    own_hour = MoneyField(label=_("What an own hour is worth"), required=False)
    honey_given_up = MoneyField(
        label=_("Honey given up"),
        required=False,
        help_text=_("What the colonies that gave nucs would have brought in honey. Beside the margin, too."),
    )

    @property
    def changes(self) -> dict[str, Any]:
        """What was stated, by field of the record; nothing typed means nothing stated."""
        values = dict(self.cleaned_data)
        values.pop("version")
        for name in ("own_hour", "honey_given_up"):
            amount = values.pop(name)
            values[f"{name}_cents"] = None if amount is None else amount.cents
        return values
