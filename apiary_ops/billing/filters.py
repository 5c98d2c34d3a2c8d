import django_filters
from django.db.models import QuerySet
from django.utils.translation import gettext_lazy as _

from apiary_ops.core.filters import DayFilter, ListFilters

from . import queries
from .models import METHODS, Invoice, Receipt


class InvoiceFilters(ListFilters):
    text = django_filters.CharFilter(label=_("Number, order, buyer"), method="about")
    state = django_filters.ChoiceFilter(
        label=_("State"),
        choices=[("owed", _("owed")), ("paid", _("paid"))],
        empty_label=_("paid or not"),
        method="in_state",
    )

    class Meta:
        model = Invoice
        fields = ["text", "state"]

    def about(self, rows: QuerySet[Invoice], name: str, text: str) -> QuerySet[Invoice]:
        return queries.papers_about(rows, text)

    def in_state(self, rows: QuerySet[Invoice], name: str, state: str) -> QuerySet[Invoice]:
        return queries.with_debt(rows, is_owed=state == "owed")


class ReceiptFilters(ListFilters):
    text = django_filters.CharFilter(label=_("Number, order, buyer"), method="about")
    method = django_filters.ChoiceFilter(
        label=_("How"), choices=METHODS, empty_label=_("every way"), field_name="method", lookup_expr="exact"
    )
    purpose = django_filters.ChoiceFilter(
        label=_("For"),
        choices=Receipt._meta.get_field("purpose").choices,
        empty_label=_("everything"),
        field_name="purpose",
        lookup_expr="exact",
    )
    since = DayFilter(label=_("From"), field_name="received_on", lookup_expr="gte")
    until = DayFilter(label=_("Up to"), field_name="received_on", lookup_expr="lte")

    class Meta:
        model = Receipt
        fields = ["text", "method", "purpose", "since", "until"]

    def about(self, rows: QuerySet[Receipt], name: str, text: str) -> QuerySet[Receipt]:
        return queries.papers_about(rows, text)
