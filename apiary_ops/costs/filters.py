import django_filters
from django.db.models import QuerySet
from django.utils.translation import gettext_lazy as _

from apiary_ops.core.filters import ListFilters

from . import queries
from .models import Bill


class BillFilters(ListFilters):
    STANDINGS = [("owed", _("owed")), ("soon", _("due within two weeks")), ("overdue", _("overdue"))]

    standing = django_filters.ChoiceFilter(
        label=_("Standing"), choices=STANDINGS, empty_label=_("every bill"), method="which_stand"
    )
    supplier = django_filters.ModelChoiceFilter(
        label=_("Supplier"),
        queryset=lambda request: queries.suppliers(),
        empty_label=_("every supplier"),
        field_name="supplier",
        lookup_expr="exact",
    )
    text = django_filters.CharFilter(label=_("Their number"), field_name="reference", lookup_expr="icontains")

    class Meta:
        model = Bill
        fields = ["standing", "supplier", "text"]

    def which_stand(self, rows: QuerySet[Bill], name: str, standing: str) -> QuerySet[Bill]:
        today = self.request.today
        due_until = {"owed": None, "soon": today + queries.SOON, "overdue": today - queries.A_DAY}
        return queries.owed(rows, due_until=due_until[standing])
