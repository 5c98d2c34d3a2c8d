from dataclasses import dataclass

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from apiary_ops.kernel.money import Money
from apiary_ops.margin.queries import Earning

from .ways import HowLine


@dataclass(frozen=True, slots=True)
class Figure:
    """A figure as components/_figures.html draws it."""

    label: str
    value: str
    unit: str = ""
    note: str = ""
    tone: str = ""
    url: str = ""


def figures(earning: Earning, currency: str) -> list[Figure]:
    """The season at a glance; only where a nuc is handed over."""
    if earning.each is None:
        return []
    each = _("%(currency)s per nuc") % {"currency": currency}
    before = _("%(currency)s per nuc, before bees and pooled costs") % {"currency": currency}

    def plain(cents: int) -> str:
        return Money(cents, currency).plain

    return [
        Figure(_("Nucs handed over"), f"{earning.margin.nucs:,}"),
        Figure(_("Price, net"), plain(earning.each.price_cents), note=each),
        Figure(_("Contribution"), plain(earning.each.contribution_cents), note=before),
        Figure(_("Margin"), plain(earning.each.margin_cents), note=each),
        Figure(_("Margin in all"), plain(earning.margin.margin_cents), note=currency),
        _break_even(earning),
    ]


def _break_even(earning: Earning) -> Figure:
    label = _("Break-even")
    if earning.break_even is None or earning.above is None:
        return Figure(label, "–", note=_("no number will do: each costs more than it brings"), tone="mind")
    nucs = f"{earning.break_even:,}"
    if earning.above < 0:
        short = -earning.above
        note = ngettext("%(short)s more to hand over", "%(short)s more to hand over", short) % {"short": f"{short:,}"}
        return Figure(label, nucs, _("nucs"), note, tone="mind")
    above = {"above": f"{earning.above:,}"}
    return Figure(label, nucs, _("nucs"), _("%(above)s handed over beyond it: the margin of safety") % above)


def break_even_lines(earning: Earning, currency: str) -> list[HowLine]:
    """How break-even comes about."""
    if earning.each is None:
        return []
    contribution = Money(earning.margin.contribution_cents, currency).plain
    over = {"cents": contribution, "nucs": f"{earning.margin.nucs:,}"}
    lines = [
        HowLine(
            _("Fixed costs to cover"),
            Money(earning.fixed_to_cover_cents, currency).plain,
            _("the bees' share and pooled costs of every nuc for sale, nucs still in hand included"),
        ),
        HowLine(
            _("Contribution per nuc"),
            Money(earning.each.contribution_cents, currency).plain,
            _("%(cents)s over %(nucs)s nucs, at the mix handed over so far") % over,
        ),
    ]
    if earning.leverage is not None:
        note = _("ten times this is what ten per cent more or fewer nucs would do")
        lines.append(HowLine(_("One per cent more nucs moves the margin by"), f"{earning.leverage}", note, unit="%"))
    needed = "–" if earning.break_even is None else f"{earning.break_even:,}"
    return [*lines, HowLine(_("Break-even, rounded up"), needed, unit=_("nucs"), is_total=True)]
