"""Filters of a list, in the address bar: components/_filters.html draws their form."""

from typing import Any

import django_filters
from django import forms
from django.core.validators import EMPTY_VALUES
from django.db.models import QuerySet

from .fields import DayField

SORT_FIELD = "sort"


class ListFilters(django_filters.FilterSet):  # type: ignore[misc]  # the library is untyped
    """Declared filters over a queryset; the order someone chose stays when the list is narrowed.

    filters = OrderFilters(request.GET, queryset=queries.orders(season.pk), request=request)
    table = table_for(request, OrderTable, filters.qs)
    """

    sort = django_filters.CharFilter(widget=forms.HiddenInput, method="leave_order_to_the_table")

    def leave_order_to_the_table(self, rows: QuerySet[Any], name: str, value: str) -> QuerySet[Any]:
        return rows

    @property
    def form(self) -> Any:
        form = super().form
        form.label_suffix = ""
        return form

    @property
    def clear_url(self) -> str:
        """The list with all its rows, where some are left out now; else nothing."""
        chosen = dict(self.form.cleaned_data) if self.form.is_valid() else {}
        sort = chosen.pop(SORT_FIELD, "")
        if all(value in EMPTY_VALUES or value is False for value in chosen.values()):
            return ""
        return f"?{SORT_FIELD}={sort}" if sort else "?"


class DayFilter(django_filters.DateFilter):  # type: ignore[misc]
    """A day from the date picker; say which lookup it means."""

    field_class = DayField
