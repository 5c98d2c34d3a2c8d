import django_filters
from django.db.models import QuerySet
from django.utils.translation import gettext_lazy as _

from apiary_ops.core.filters import ListFilters

from .models import Record
from .queries import OPEN_STATES


class RecordFilters(ListFilters):
    """Records that wait, unless another state is asked for."""

    state = django_filters.ChoiceFilter(
        label=_("State"),
        choices=Record.State.choices,
        empty_label=_("all that wait"),
        field_name="state",
        lookup_expr="exact",
    )

    class Meta:
        model = Record
        fields = ["state"]

    def filter_queryset(self, queryset: QuerySet[Record]) -> QuerySet[Record]:
        rows: QuerySet[Record] = super().filter_queryset(queryset)
        return rows if self.form.cleaned_data.get("state") else rows.filter(state__in=OPEN_STATES)
