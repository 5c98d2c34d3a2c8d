import django_filters
from django import forms
from django.db.models import QuerySet
from django.utils.translation import gettext_lazy as _

from apiary_ops.business.queries import seasons
from apiary_ops.core.filters import DayFilter, ListFilters

from . import queries
from .models import Account, Entry, Line


class JournalFilters(ListFilters):
    account = django_filters.ModelChoiceFilter(
        label=_("Account"), queryset=lambda request: queries.accounts(), empty_label=_("every account"), method="of"
    )
    period = django_filters.ModelChoiceFilter(
        label=_("Period"),
        queryset=lambda request: queries.periods(),
        empty_label=_("every period"),
        field_name="period",
        lookup_expr="exact",
    )
    text = django_filters.CharFilter(label=_("Words, buyer, order"), method="about")

    class Meta:
        model = Entry
        fields = ["account", "period", "text"]

    def of(self, rows: QuerySet[Entry], name: str, account: Account) -> QuerySet[Entry]:
        return queries.touching(rows, account)

    def about(self, rows: QuerySet[Entry], name: str, text: str) -> QuerySet[Entry]:
        return queries.about(rows, text)


class TrialFilters(ListFilters):
    """Which postings a trial balance counts."""

    until = DayFilter(label=_("Up to"), field_name="entry__posted_on", lookup_expr="lte")
    season = django_filters.ModelChoiceFilter(
        label=_("Season"),
        queryset=lambda request: seasons(),
        empty_label=_("every season"),
        field_name="season",
        lookup_expr="exact",
    )
    before_closing = django_filters.BooleanFilter(
        label=_("Before the closing entries"), widget=forms.CheckboxInput, method="open_years"
    )

    class Meta:
        model = Line
        fields = ["until", "season", "before_closing"]

    def open_years(self, rows: QuerySet[Line], name: str, before_closing: bool) -> QuerySet[Line]:
        return queries.without_closing(rows) if before_closing else rows


class AccountFilters(ListFilters):
    until = DayFilter(label=_("Up to"), field_name="entry__posted_on", lookup_expr="lte")
    season = django_filters.ModelChoiceFilter(
        label=_("Season"),
        queryset=lambda request: seasons(),
        empty_label=_("every season"),
        field_name="season",
        lookup_expr="exact",
    )
    subject = django_filters.CharFilter(label=_("Whose part"), field_name="subject", lookup_expr="exact")

    class Meta:
        model = Line
        fields = ["until", "season", "subject"]
