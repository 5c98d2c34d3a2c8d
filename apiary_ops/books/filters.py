import django_filters
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
    closing = django_filters.ChoiceFilter(
        label=_("Closing entries"),
        choices=[("without", _("left out"))],
        empty_label=_("counted"),
        method="without_closing",
    )

    class Meta:
        model = Line
        fields = ["until", "season", "closing"]

    def without_closing(self, rows: QuerySet[Line], name: str, choice: str) -> QuerySet[Line]:
        return queries.without_closing(rows)


class AccountFilters(ListFilters):
    until = DayFilter(label=_("Up to"), field_name="entry__posted_on", lookup_expr="lte")
    season = django_filters.ModelChoiceFilter(
        label=_("Season"),
        queryset=lambda request: seasons(),
        empty_label=_("every season"),
        field_name="season",
        lookup_expr="exact",
    )
    subject = django_filters.CharFilter(label=_("Whose part"), method="whose")

    class Meta:
        model = Line
        fields = ["until", "season", "subject"]

    def whose(self, rows: QuerySet[Line], name: str, text: str) -> QuerySet[Line]:
        """A whole subject ("order:2027-0001") means that one; a piece of it, every subject that holds it."""
        return queries.of_subject(rows, text)
