from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from django import forms
from django.forms import BaseFormSet, formset_factory
from django.utils.translation import gettext_lazy as _

from apiary_ops.business.queries import tax_categories
from apiary_ops.core.fields import DayField, MoneyField
from apiary_ops.core.forms import LedgerForm, OnceForm, VersionedForm
from apiary_ops.nucs.models import NucKind

from . import queries
from .models import Buyer, Round
from .services import LineDraft

ROWS_OFFERED = 3
ROWS_MORE = 4
MOST_ROWS = 40
BUYER_FIELDS = ("name", "phone", "email", "address", "tier", "notes")


class FindBuyer(LedgerForm):
    """The keyboard starts in the box; once something was looked for, it starts on what was found."""

    q = forms.CharField(
        label=_("Name, telephone or e-mail"),
        required=False,
        max_length=200,
        widget=forms.TextInput(attrs={"type": "search", "autocomplete": "off"}),
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if not self.is_bound:
            self.fields["q"].widget.attrs["autofocus"] = True


class BuyerFields(LedgerForm):
    name = forms.CharField(label=_("Name"), max_length=200)
    phone = forms.CharField(
        label=_("Telephone"), max_length=40, required=False, widget=forms.TextInput(attrs={"type": "tel"})
    )
    email = forms.EmailField(label=_("E-mail"), required=False)
    address = forms.CharField(
        label=_("Address"),
        max_length=400,
        required=False,
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text=_("Printed on invoices."),
    )
    tier = forms.ChoiceField(label=_("Tier"), choices=Buyer.Tier.choices, initial=Buyer.Tier.NEW)
    notes = forms.CharField(label=_("Notes"), max_length=2000, required=False, widget=forms.Textarea(attrs={"rows": 2}))


class AddBuyer(BuyerFields):
    """`seen` carries the likely duplicates that were shown, so that they stand in the way once and no more."""

    seen = forms.CharField(required=False, widget=forms.HiddenInput, max_length=200)

    @property
    def fields_of_buyer(self) -> dict[str, Any]:
        return {name: self.cleaned_data[name] for name in BUYER_FIELDS}

    def unseen(self, duplicates: list[Buyer]) -> bool:
        """Whether some of the duplicates were not shown yet; the next sending of the form knows them."""
        shown = set(self.cleaned_data["seen"].split())
        keys = [str(buyer.pk) for buyer in duplicates]
        self.data = self.data.copy()
        self.data[self.add_prefix("seen")] = " ".join(keys)
        return not shown.issuperset(keys)


class EditBuyer(BuyerFields, VersionedForm):
    pass


class PlaceOrder(OnceForm):
    placed_on = DayField(label=_("Placed on"))
    pickup_yard = forms.ModelChoiceField(
        label=_("Collects at"), queryset=queries.pickup_yards(), required=False, empty_label=_("not settled yet")
    )
    notes = forms.CharField(label=_("Notes"), max_length=2000, required=False, widget=forms.Textarea(attrs={"rows": 2}))

    @property
    def values(self) -> dict[str, Any]:
        """What the form says, as services.place_order takes it."""
        values = dict(self.cleaned_data)
        yard = values.pop("pickup_yard")
        return {**values, "pickup_yard_id": yard.pk if yard else None}


@dataclass(frozen=True)
class Offer:
    """What a row may ask for: kinds with a price, rounds not over, and the kind most often asked for."""

    kinds: Sequence[NucKind]
    rounds: Sequence[Round]
    usual_kind: int | None

    @property
    def first_kind(self) -> int | None:
        keys = [kind.pk for kind in self.kinds]
        return self.usual_kind if self.usual_kind in keys else next(iter(keys), None)


class LineRow(LedgerForm):
    quantity = forms.IntegerField(
        label=_("Nucs"),
        required=False,
        min_value=1,
        max_value=2000,
        error_messages=dict.fromkeys(("invalid", "min_value", "max_value"), _("Ask for 1 to 2,000 nucs.")),
        widget=forms.TextInput(attrs={"inputmode": "numeric", "class": "money", "maxlength": 5, "autocomplete": "off"}),
    )
    kind = forms.TypedChoiceField(label=_("Kind"), coerce=int)
    round = forms.TypedChoiceField(label=_("Round"), coerce=int)
    substitute = forms.TypedChoiceField(label=_("Accepts instead"), coerce=int, required=False, empty_value=None)
    part_loads = forms.BooleanField(label=_("May come in parts"), required=False)

    def __init__(self, *args: Any, offer: Offer, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.offer = offer
        kinds = [(kind.pk, str(kind)) for kind in offer.kinds]
        self.fields["kind"].choices = kinds
        self.fields["substitute"].choices = [("", _("nothing else")), *kinds]
        self.fields["round"].choices = [(round_.pk, str(round_)) for round_ in offer.rounds]
        # A row starts as most orders are, so that a number alone is often enough.
        self.fields["kind"].initial = offer.first_kind
        self.fields["round"].initial = next((round_.pk for round_ in offer.rounds), None)

    def clean(self) -> dict[str, Any]:
        values = super().clean()
        if not values.get("quantity") and "quantity" not in self.errors:
            self.add_error("quantity", _("Say how many, or empty the row."))
        if values.get("substitute") and values.get("substitute") == values.get("kind"):
            self.add_error("substitute", _("Choose another kind than the one asked for."))
        return values

    @property
    def draft(self) -> LineDraft:
        values = self.cleaned_data
        return LineDraft(
            kind_id=values["kind"],
            quantity=values["quantity"],
            round_id=values["round"],
            substitute_ids=[values["substitute"]] if values["substitute"] else [],
            part_loads=values["part_loads"],
        )

    @property
    def asked(self) -> tuple[NucKind, int]:
        """Kind and number of a row that says both."""
        kind = next(kind for kind in self.offer.kinds if kind.pk == self.cleaned_data["kind"])
        return kind, self.cleaned_data["quantity"]


class LineRows(BaseFormSet):
    @property
    def filled(self) -> list[LineRow]:
        return [form for form in self.forms if form.has_changed()]

    @property
    def drafts(self) -> list[LineDraft]:
        """What the filled rows ask for."""
        return [form.draft for form in self.filled]

    @property
    def asked(self) -> list[tuple[NucKind, int]]:
        """Kind and number of each row that says both; rows still to be mended are left out."""
        return [form.asked for form in self.filled if form.is_valid()]

    def add_fields(self, form: Any, index: Any) -> None:
        super().add_fields(form, index)
        if index == 0:
            form.fields["quantity"].widget.attrs["autofocus"] = True


LineRowSet = formset_factory(LineRow, formset=LineRows, extra=ROWS_OFFERED, max_num=MOST_ROWS)


class EditOrder(VersionedForm):
    pickup_yard = forms.ModelChoiceField(
        label=_("Collects at"), queryset=queries.pickup_yards(), required=False, empty_label=_("not settled yet")
    )
    notes = forms.CharField(label=_("Notes"), max_length=2000, required=False, widget=forms.Textarea(attrs={"rows": 4}))


class RoundFields(LedgerForm):
    name = forms.CharField(label=_("Name"), max_length=40)
    starts_on = DayField(label=_("First week begins"), help_text=_("A Monday."))
    ends_before = DayField(label=_("Ends before"), help_text=_("A Monday: the first day that is no longer in it."))


class EditRound(RoundFields, VersionedForm):
    pass


class SetPrice(LedgerForm):
    kind = forms.ModelChoiceField(label=_("Kind"), queryset=NucKind.objects.none(), empty_label=None)
    tier = forms.ChoiceField(label=_("For"), required=False, choices=[("", _("everyone")), *Buyer.Tier.choices])
    price = MoneyField(label=_("Price each, before tax"), allow_zero=False)
    tax_category = forms.ModelChoiceField(
        label=_("Tax category"),
        queryset=tax_categories(),
        empty_label=None,
        help_text=_("Confirm with your accountant how live bees are taxed where you are."),
    )
    valid_from = DayField(label=_("Valid from"))

    def __init__(self, *args: Any, kinds: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["kind"].queryset = kinds
