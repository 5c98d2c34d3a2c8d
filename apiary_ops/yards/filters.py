import django_filters
from django import forms
from django.db.models import QuerySet
from django.utils.translation import gettext_lazy as _

from apiary_ops.core.filters import ListFilters

from . import queries
from .models import KINDS_OF_WORK, Task, Visit


class VisitFilters(ListFilters):
    yard = django_filters.ModelChoiceFilter(
        label=_("Yard"),
        queryset=lambda request: queries.yards(),
        empty_label=_("every yard"),
        field_name="yard",
        lookup_expr="exact",
    )
    work = django_filters.ChoiceFilter(
        label=_("Work"),
        choices=KINDS_OF_WORK,
        empty_label=_("every kind"),
        field_name="work",
        lookup_expr="exact",
    )

    class Meta:
        model = Visit
        fields = ["yard", "work"]


class TaskFilters(ListFilters):
    """Open tasks, unless those done are asked for too."""

    yard = django_filters.ModelChoiceFilter(
        label=_("Yard"),
        queryset=lambda request: queries.yards(),
        empty_label=_("every yard"),
        field_name="yard",
        lookup_expr="exact",
    )
    done = django_filters.BooleanFilter(
        label=_("Also those done"), widget=forms.CheckboxInput, method="leave_to_the_end"
    )

    class Meta:
        model = Task
        fields = ["yard", "done"]

    def leave_to_the_end(self, rows: QuerySet[Task], name: str, value: bool) -> QuerySet[Task]:
        return rows

    def filter_queryset(self, queryset: QuerySet[Task]) -> QuerySet[Task]:
        rows: QuerySet[Task] = super().filter_queryset(queryset)
        return rows if self.form.cleaned_data.get("done") else rows.filter(done_on__isnull=True)
