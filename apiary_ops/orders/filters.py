import django_filters
from django import forms
from django.db.models import QuerySet
from django.utils.translation import gettext_lazy as _

from apiary_ops.core.filters import ListFilters
from apiary_ops.nucs import queries as nuc_queries

from . import queries
from .models import Buyer, Line, Order

LINE_FILTERS = ("round", "kind", "state")


class OrderFilters(ListFilters):
    """Round, kind and state speak of one line: the order has a line that is all three."""

    text = django_filters.CharFilter(label=_("Number, buyer, telephone"), method="about")
    round = django_filters.ModelChoiceFilter(
        label=_("Round"),
        queryset=lambda request: queries.rounds(request.season.pk),
        empty_label=_("every round"),
        method="on_a_line",
    )
    kind = django_filters.ModelChoiceFilter(
        label=_("Kind"),
        queryset=lambda request: nuc_queries.kinds(),
        empty_label=_("every kind"),
        method="on_a_line",
    )
    state = django_filters.ChoiceFilter(
        label=_("State"), choices=Line.State.choices, empty_label=_("every state"), method="on_a_line"
    )
    deposit = django_filters.ChoiceFilter(
        label=_("Deposit"), choices=queries.DEPOSIT_WORDS, empty_label=_("paid or not"), method="with_deposit"
    )

    pickup_yard = django_filters.ModelChoiceFilter(
        label=_("Collects at"),
        queryset=lambda request: queries.pickup_yards(),
        empty_label=_("anywhere"),
        field_name="pickup_yard",
        lookup_expr="exact",
    )

    class Meta:
        model = Order
        fields = ["text", "round", "kind", "state", "deposit", "pickup_yard"]

    def filter_queryset(self, rows: QuerySet[Order]) -> QuerySet[Order]:
        rows = super().filter_queryset(rows)
        # A choice that was refused is missing here.
        values = self.form.cleaned_data
        chosen = {name: values[name] for name in LINE_FILTERS if values.get(name)}
        return queries.with_a_line(rows, chosen) if chosen else rows

    def on_a_line(self, rows: QuerySet[Order], name: str, value: object) -> QuerySet[Order]:
        return rows  # all at once in filter_queryset

    def about(self, rows: QuerySet[Order], name: str, text: str) -> QuerySet[Order]:
        return queries.about(rows, text)

    def with_deposit(self, rows: QuerySet[Order], name: str, word: str) -> QuerySet[Order]:
        return queries.with_deposit(rows, word, self.request.today)


class BuyerFilters(ListFilters):
    text = django_filters.CharFilter(
        label=_("Name, telephone or e-mail"), method="about", widget=forms.TextInput(attrs={"type": "search"})
    )
    tier = django_filters.ChoiceFilter(
        label=_("Tier"), choices=Buyer.Tier.choices, empty_label=_("every tier"), field_name="tier", lookup_expr="exact"
    )

    class Meta:
        model = Buyer
        fields = ["text", "tier"]

    def about(self, rows: QuerySet[Buyer], name: str, text: str) -> QuerySet[Buyer]:
        return rows.filter(queries.buyer_matches(text))
