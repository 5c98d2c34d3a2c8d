from collections.abc import Iterable

from django.db.models import QuerySet

from apiary_ops.allocation.models import Binding
from apiary_ops.nucs.models import Nuc
from apiary_ops.orders.models import Line


def live_bindings(nuc_ids: Iterable[int]) -> QuerySet[Binding]:
    """Who has these nucs now, with the order and the buyer."""
    rows = Binding.objects.filter(nuc_id__in=list(nuc_ids), released_at__isnull=True)
    return rows.select_related("nuc", "line__order__buyer").order_by("id")


def bindings_of(order_ids: Iterable[int]) -> QuerySet[Binding]:
    """The numbered nucs that stand ready for some orders: bound, and not handed over yet."""
    return (
        Binding.objects.filter(line__order_id__in=list(order_ids), released_at__isnull=True)
        .filter(nuc__state__in=Nuc.LIVE_STATES)
        .select_related("nuc__yard", "nuc__kind", "line")
        .order_by("line_id", "nuc__number")
    )


def dead_bindings(nuc_ids: Iterable[int]) -> QuerySet[Binding]:
    """Bindings that hold a nuc back for a line that is owed nothing any more (cancelled, lapsed, all collected)."""
    still_here = live_bindings(nuc_ids).filter(nuc__state__in=Nuc.LIVE_STATES)
    return still_here.exclude(line__state__in=Line.OWED_STATES)
