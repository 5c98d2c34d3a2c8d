from datetime import timedelta

import django_filters
from django import forms
from django.db.models import QuerySet
from django.utils.translation import gettext_lazy as _

from apiary_ops.core.filters import ListFilters

from . import queries
from .models import KINDS_OF_WORK, Task, TaskRule, Visit

WEEK_DAYS = 7


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
    rule = django_filters.ChoiceFilter(
        label=_("Kind"),
        choices=TaskRule.Code.choices,
        empty_label=_("every kind"),
        field_name="rule",
        lookup_expr="exact",
    )
    due = django_filters.ChoiceFilter(
        label=_("Due"),
        choices=[("late", _("late")), ("week", _("late or within a week"))],
        empty_label=_("whenever"),
        method="due_by",
    )
    done = django_filters.BooleanFilter(
        label=_("Also those done"), widget=forms.CheckboxInput, method="leave_to_the_end"
    )

    class Meta:
        model = Task
        fields = ["yard", "rule", "due", "done"]

    def due_by(self, rows: QuerySet[Task], name: str, value: str) -> QuerySet[Task]:
        days = timedelta(days=-1 if value == "late" else WEEK_DAYS)
        return rows.filter(due_on__lte=self.request.today + days)

    def leave_to_the_end(self, rows: QuerySet[Task], name: str, value: bool) -> QuerySet[Task]:
        return rows

    def filter_queryset(self, queryset: QuerySet[Task]) -> QuerySet[Task]:
        rows: QuerySet[Task] = super().filter_queryset(queryset)
        return rows if self.form.cleaned_data.get("done") else rows.filter(done_on__isnull=True)
