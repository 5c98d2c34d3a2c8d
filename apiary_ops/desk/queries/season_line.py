"""The strip on every office page: one figure a stage, few queries, each figure opening its reasons."""

from typing import Any

from django.db.models import Count, Q, Sum
from django.urls import reverse
from django.utils.translation import gettext as _

from apiary_ops.billing import queries as billing
from apiary_ops.business.models import Season
from apiary_ops.capacity import queries as capacity
from apiary_ops.core.shell import Figure
from apiary_ops.kernel.money import Money
from apiary_ops.nucs.models import Nuc
from apiary_ops.orders.models import Line
from apiary_ops.people.access import may_open
from apiary_ops.queens import queries as queens
from apiary_ops.yards.models import Colony


def season_line(request: Any, season: Season) -> list[Figure]:
    """Graded · capacity · promised · queens · ready · handed over · deposits held, as far as the reader may see."""
    role = request.user.role
    if not may_open(role, "promise:take-order"):
        return []
    lines = Line.objects.filter(order__season=season, state__in=Line.PROMISED_STATES)
    promised = lines.aggregate(nucs=Sum("quantity"))["nucs"] or 0
    nucs = _nucs(season)
    figures = [*_capacity(season, nucs, promised), *_nuc_figures(season, nucs)]
    if request.user.sees_prices and may_open(role, "billing:deposits"):
        held = Money(billing.deposits_held_total(season.pk), request.business.currency)
        figures.append(Figure(_("Deposits held"), held.plain, note=held.currency, url=reverse("billing:deposits")))
    return figures


def _capacity(season: Season, nucs: dict[str, int], promised: int) -> list[Figure]:
    live = Colony.objects.filter(state=Colony.State.LIVE).count()
    forecast = capacity.latest_forecast(season.pk)
    if forecast is None:
        figures = [
            Figure(_("Graded"), f"0 / {live}", url=reverse("yards:list")),
            Figure(_("Capacity"), "–", note=_("no forecast yet"), url=reverse("capacity:overview")),
        ]
        low = 0
    else:
        low, high = _range(forecast)
        low, high = nucs["kept_up"] + low, nucs["kept_up"] + high
        note = _("recompute") if forecast.is_stale else _("late to early spring")
        figures = [
            Figure(_("Graded"), f"{forecast.colonies_counted} / {live}", url=reverse("yards:list")),
            Figure(_("Capacity"), f"{low}–{high}", note=note, url=reverse("capacity:overview")),
        ]
    tone = "mind" if promised > low else ""
    note = _("beyond a late spring") if tone else ""
    return [*figures, Figure(_("Promised"), f"{promised:,}", note=note, url=reverse("promise:take-order"), tone=tone)]


def _range(forecast: Any) -> tuple[int, int]:
    """Nucs that could still be made, in a late and in an early spring, of the largest kind: the least of them all."""
    kinds = capacity.kind_capacity(forecast)
    largest = max(kinds, key=lambda kind: (kind.kind.frames, kind.kind.pk), default=None)
    return (largest.low, largest.high) if largest else (0, 0)


def _nucs(season: Season) -> dict[str, int]:
    live = Q(state__in=Nuc.LIVE_STATES)
    return Nuc.objects.filter(season=season).aggregate(
        kept_up=Count("id", filter=live | Q(state=Nuc.State.HANDED_OVER)),
        ready=Count("id", filter=live & Q(ready_on__isnull=False, hold_reason="")),
        handed_over=Count("id", filter=Q(state=Nuc.State.HANDED_OVER)),
    )


def _nuc_figures(season: Season, nucs: dict[str, int]) -> list[Figure]:
    due = queens.due_total(season.pk)
    return [
        Figure(
            _("Queens landed"),
            f"{queens.landed_total(season.pk):,}",
            note=_("%(due)s due") % {"due": f"{due:,}"} if due else "",
            url=reverse("queens:overview"),
        ),
        Figure(_("Ready"), f"{nucs['ready']:,}", url=reverse("nucs:list")),
        Figure(_("Handed over"), f"{nucs['handed_over']:,}", url=reverse("pickups:day-list")),
    ]
