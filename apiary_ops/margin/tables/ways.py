from collections.abc import Sequence
from dataclasses import dataclass

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from apiary_ops.kernel.money import Money
from apiary_ops.margin import compute
from apiary_ops.margin.queries import MarginReport

BAR_WIDTH = 1000  # of the viewBox of each bar

STEP_NAMES = {
    compute.BEES: gettext_lazy("The bees' share"),
    compute.POOLED: gettext_lazy("Pooled costs"),
}


@dataclass(frozen=True, slots=True)
class WayRow:
    """A step from price to margin, per nuc and in all; its bar runs from `x` over `width` of BAR_WIDTH."""

    label: str
    each: Money
    total: Money
    x: int
    width: int
    css_class: str = ""
    is_sum: bool = False
    is_assumed: bool = False


@dataclass(frozen=True, slots=True)
class HowLine:
    """One line of "how this number comes about"."""

    label: str
    value: str
    note: str = ""
    unit: str = ""
    is_total: bool = False


@dataclass(frozen=True, slots=True)
class Way:
    """The way from price to margin of one kind, or of the season where its key is "season"."""

    key: str
    name: str
    nucs: int
    rows: tuple[WayRow, ...]
    how: tuple[HowLine, ...]


def ways(report: MarginReport, currency: str) -> list[Way]:
    """The season's way first where several kinds were handed over, then theirs."""
    sold = [margin for margin in report.margin.kinds if margin.nucs]
    margins = [report.margin.season, *sold] if len(sold) > 1 else sold
    return [_way(margin, report, currency) for margin in margins]


def _way(margin: compute.Margin, report: MarginReport, currency: str) -> Way:
    name = report.kinds[margin.key].name if margin.key else _("All kinds")
    how = tuple(how_lines(margin, report, currency)) if margin.key else ()
    return Way(margin.key or "season", name, margin.nucs, _rows(margin, report, currency), how)


def _rows(margin: compute.Margin, report: MarginReport, currency: str) -> tuple[WayRow, ...]:
    each = compute.rounded_per_nuc(margin)
    if each is None:
        return ()
    direct, fixed = ([step.cents for step in steps] for steps in (margin.direct_steps, margin.fixed_steps))
    picture = compute.waterfall(margin.sales_cents, direct, fixed)

    def row(label: str, each: int, total: int, bar: compute.Bar, css_class: str = "", **marks: bool) -> WayRow:
        x, width = _span(bar)
        return WayRow(label, Money(each, currency), Money(total, currency), x, width, css_class, **marks)

    def costs(steps: Sequence[compute.Step], amounts: Sequence[int], bars: Sequence[compute.Bar]) -> list[WayRow]:
        return [
            row(step_name(report, step), -cents, -step.cents, bar, is_assumed=step.key in STEP_NAMES)
            for step, cents, bar in zip(steps, amounts, bars, strict=True)
        ]

    contribution = (each.contribution_cents, margin.contribution_cents, picture.contribution)
    return (
        row(_("Price, net of tax"), each.price_cents, margin.sales_cents, picture.price, is_sum=True),
        *costs(margin.direct_steps, each.direct, picture.direct),
        row(_("Contribution"), *contribution, "subtotal", is_sum=True),
        *costs(margin.fixed_steps, each.fixed, picture.fixed),
        row(_("Margin"), each.margin_cents, margin.margin_cents, picture.margin, "total", is_sum=True),
    )


def _span(bar: compute.Bar) -> tuple[int, int]:
    x = round(bar.low * BAR_WIDTH)
    return x, round(bar.high * BAR_WIDTH) - x


def step_name(report: MarginReport, step: compute.Step) -> str:
    return str(STEP_NAMES[step.key] if step.key in STEP_NAMES else report.accounts[step.key].name)


def how_lines(margin: compute.Margin, report: MarginReport, currency: str) -> list[HowLine]:
    """How a kind's costs come about: what became of its nucs, then each cost with the rule that brought it here."""
    facts = report.facts[margin.key]
    made_in_all = sum(fact.made for fact in report.facts.values())
    counted = _("%(over)s handed over, %(in_hand)s in hand, %(kept)s kept, %(lost)s lost or united") % {
        "over": facts.handed_over,
        "in_hand": facts.in_hand,
        "kept": facts.kept,
        "lost": facts.lost,
    }
    by_made = _("%(made)s of %(all)s nucs made; of those that live, %(over)s of %(living)s handed over") % {
        "made": facts.made,
        "all": made_in_all,
        "over": facts.handed_over,
        "living": facts.handed_over + facts.in_hand + facts.kept,
    }
    lines = [HowLine(_("Nucs made"), str(facts.made), counted)]
    for step in margin.steps:
        note = _rule(step, report, facts, by_made, currency)
        lines.append(HowLine(step_name(report, step), Money(step.cents, currency).plain, note))
    cost = Money(margin.direct_cents + margin.fixed_cents, currency).plain
    return [*lines, HowLine(_("Cost in all"), cost, unit=currency, is_total=True)]


def _rule(step: compute.Step, report: MarginReport, facts: compute.KindFacts, by_made: str, currency: str) -> str:
    if step.key == compute.COST_OF_NUCS:
        return _("what the queens of the nucs handed over cost, each by its lot")
    if step.key == compute.NUC_LOSSES:
        loss = {"loss": Money(facts.loss_cents, currency).plain, "over": facts.handed_over}
        loss["living"] = facts.handed_over + facts.in_hand + facts.kept
        return _("%(loss)s in nucs lost or united, borne by those that live: %(over)s of %(living)s") % loss
    in_books = Money(_in_books(step, report), currency).plain
    if step.key == compute.BEES:
        share = f"{report.sharing.bees_percent.normalize():f}"
        return _("%(percent)s %% of %(cents)s; %(by)s") % {"percent": share, "cents": in_books, "by": by_made}
    if step.key == compute.POOLED and report.sharing.driver == compute.VISIT_MINUTES:
        return _("%(nucs)s of %(all)s visit minutes of %(cents)s; %(by)s") % {
            "nucs": f"{report.sharing.nuc_minutes:,}",
            "all": f"{report.sharing.all_minutes:,}",
            "cents": in_books,
            "by": by_made,
        }
    return _("%(cents)s in the books; %(by)s") % {"cents": in_books, "by": by_made}


def _in_books(step: compute.Step, report: MarginReport) -> int:
    return sum(
        cost.cents
        for cost in report.costs
        if cost.account == step.key or (step.key in STEP_NAMES and cost.cost_class == step.key)
    )
