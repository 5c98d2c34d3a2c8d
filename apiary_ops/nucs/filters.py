import django_filters
from django.db.models import QuerySet
from django.utils.translation import gettext_lazy as _

from apiary_ops.core.filters import ListFilters
from apiary_ops.yards.queries import yards

from . import queries
from .models import Nuc

STANDINGS = [("live", _("live")), *Nuc.State.choices]


class NucFilters(ListFilters):
    state = django_filters.ChoiceFilter(
        label=_("State"), choices=STANDINGS, empty_label=_("every state"), method="in_state"
    )
    kind = django_filters.ModelChoiceFilter(
        label=_("Kind"),
        queryset=lambda request: queries.kinds(),
        empty_label=_("every kind"),
        field_name="kind",
        lookup_expr="exact",
    )
    yard = django_filters.ModelChoiceFilter(
        label=_("Stands at"),
        queryset=lambda request: yards(),
        empty_label=_("every yard"),
        field_name="yard",
        lookup_expr="exact",
    )
    batch = django_filters.NumberFilter(
        label=_("Batch"), field_name="batch", lookup_expr="exact", min_value=1, max_value=2**31 - 1
    )
    ready = django_filters.ChoiceFilter(
        label=_("Ready"),
        choices=[("today", _("ready today")), ("over", _("kept too long"))],
        empty_label=_("ready or not"),
        method="by_readiness",
    )

    class Meta:
        model = Nuc
        fields = ["state", "kind", "yard", "batch", "ready"]

    def in_state(self, rows: QuerySet[Nuc], name: str, state: str) -> QuerySet[Nuc]:
        return rows.filter(state__in=Nuc.LIVE_STATES if state == "live" else [state])

    def by_readiness(self, rows: QuerySet[Nuc], name: str, wanted: str) -> QuerySet[Nuc]:
        today, season = self.request.today, self.request.season
        found = queries.kept_too_long(season.pk, today) if wanted == "over" else queries.ready_nucs(season.pk, on=today)
        return rows.filter(pk__in=found.order_by().values("pk"))
