"""Every cent of a season's costs: charged to the nucs handed over, or left out with the reason.

Amounts are whole cents. Each split is by largest remainder, so what is charged and what is left out add up to the
cost again. Ordinary loss raises the cost of the survivors (IAS 2: normal waste is part of cost).
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from apiary_ops.kernel.rounding import Exact, percent_of
from apiary_ops.kernel.shares import shares

DIRECT, BEES, POOLED = "direct", "bees", "pooled"
CLASSES = (DIRECT, BEES, POOLED)

# Accounts whose part of each nuc is known; every other direct cost is shared by nucs made.
COST_OF_NUCS, NUC_LOSSES = "cost-of-nucs", "nuc-losses"

NUCS_MADE, VISIT_MINUTES = "nucs made", "visit minutes"

# Why a cent is not in the margin of nucs handed over.
IN_HAND = "in hand"
KEPT = "kept"
NONE_LEFT = "none left"
NONE_MADE = "none made"
STAYS_WITH_COLONIES = "stays with colonies"
COLONY_WORK = "colony work"
MINUTES_UNKNOWN = "minutes unknown"
NOT_OF_NUCS = "not of nucs"
# The rest is no cost of nucs that can still be sold or kept.
CARRIED = (IN_HAND, KEPT)


@dataclass(frozen=True, slots=True)
class KindFacts:
    """What became of a season's nucs of one kind; sales are without tax, `lost` counts the united too.

    `queen_cents` went into the nucs handed over, `loss_cents` into those lost.
    """

    key: str
    made: int
    handed_over: int
    in_hand: int = 0
    kept: int = 0
    lost: int = 0
    sales_cents: int = 0
    queen_cents: int = 0
    loss_cents: int = 0


@dataclass(frozen=True, slots=True)
class Cost:
    """A season's balance of an expense account and how it is charged: direct, bees, pooled or not at all ("")."""

    account: str
    cost_class: str
    cents: int


@dataclass(frozen=True, slots=True)
class Sharing:
    """What the grower states: the share of the bees' keep charged to nucs, and the driver of pooled costs.

    By visit minutes, pooled costs first part between nucs (`nuc_minutes`) and colonies; by nucs made, all go to nucs.
    """

    bees_percent: Decimal
    driver: str = VISIT_MINUTES
    nuc_minutes: int = 0
    all_minutes: int = 0


@dataclass(frozen=True, slots=True)
class Step:
    """One cost on the way from sales to margin: `key` is an account, or "bees" or "pooled"."""

    key: str
    cost_class: str
    cents: int


@dataclass(frozen=True, slots=True)
class LeftOut:
    """Part of an account that is not in the margin of nucs handed over, and why."""

    account: str
    cost_class: str
    reason: str
    cents: int


@dataclass(frozen=True, slots=True)
class Margin:
    """What the handed-over nucs of a kind (or, with an empty key, of the season) brought and cost."""

    key: str
    nucs: int
    sales_cents: int
    steps: tuple[Step, ...]

    @property
    def direct_steps(self) -> tuple[Step, ...]:
        return tuple(step for step in self.steps if step.cost_class == DIRECT)

    @property
    def fixed_steps(self) -> tuple[Step, ...]:
        """The bees' share and the pooled costs."""
        return tuple(step for step in self.steps if step.cost_class != DIRECT)

    @property
    def direct_cents(self) -> int:
        return sum(step.cents for step in self.direct_steps)

    @property
    def fixed_cents(self) -> int:
        return sum(step.cents for step in self.fixed_steps)

    @property
    def contribution_cents(self) -> int:
        """Sales less direct costs: what is there to cover the bees' share and the pooled costs."""
        return self.sales_cents - self.direct_cents

    @property
    def margin_cents(self) -> int:
        return self.contribution_cents - self.fixed_cents


@dataclass(frozen=True, slots=True)
class SeasonMargin:
    """Margins by kind and of the season, what of each account is in them (`charged`), and what is not."""

    kinds: tuple[Margin, ...]
    season: Margin
    charged: Mapping[str, int]
    left_out: tuple[LeftOut, ...]

    @property
    def charged_cents(self) -> int:
        return self.season.direct_cents + self.season.fixed_cents

    @property
    def left_out_cents(self) -> int:
        return sum(row.cents for row in self.left_out)

    @property
    def cost_cents(self) -> int:
        """All costs of the report: must equal the expenses in the books."""
        return self.charged_cents + self.left_out_cents

    def left_out_of(self, account: str, reasons: Sequence[str]) -> int:
        """What of an account is left out for one of these reasons."""
        return sum(row.cents for row in self.left_out if row.account == account and row.reason in reasons)

    @property
    def fixed_to_cover_cents(self) -> int:
        """The bees' share and pooled costs that the season's sales must cover, nucs still in hand included."""
        waiting = (IN_HAND, NONE_LEFT, NONE_MADE)
        return self.season.fixed_cents + sum(
            row.cents for row in self.left_out if row.cost_class in (BEES, POOLED) and row.reason in waiting
        )


def by_driver(cents: int, units: Sequence[Exact]) -> list[int]:
    """A cost shared out in proportion to the units of its driver, such as minutes or nucs made.

    Source: Principles of Accounting, Volume 2 (OpenStax 2019), sections 6.1 and 6.3. Raises ValueError without units.
    """
    return shares(cents, units)


def season_margin(kinds: Sequence[KindFacts], costs: Sequence[Cost], sharing: Sharing) -> SeasonMargin:
    """Charge each cost to the nucs handed over, kind by kind, and say of the rest why it is left out.

    What the queens cost comes from the nucs, not from the books, so that the two can be held against each other.
    """
    sheet = _Sheet(kinds)
    for cost in costs:
        if cost.account == COST_OF_NUCS:
            for kind in kinds:
                sheet.charge(kind, cost, kind.queen_cents)
        elif cost.account == NUC_LOSSES:
            for kind in kinds:
                sheet.spread(kind, cost, kind.loss_cents)
        else:
            _charge_by_nucs_made(sheet, cost, sharing)
    return sheet.report(costs)


def _charge_by_nucs_made(sheet: "_Sheet", cost: Cost, sharing: Sharing) -> None:
    to_nucs, reason = _part_of_nucs(cost, sharing)
    sheet.leave_out(cost, reason, cost.cents - to_nucs)
    if not any(kind.made for kind in sheet.kinds):
        sheet.leave_out(cost, NONE_MADE, to_nucs)
        return
    parts = by_driver(to_nucs, [kind.made for kind in sheet.kinds])
    for kind, part in zip(sheet.kinds, parts, strict=True):
        sheet.spread(kind, cost, part)


def _part_of_nucs(cost: Cost, sharing: Sharing) -> tuple[int, str]:
    """The cents of a cost that nucs bear, and why they do not bear the rest."""
    if cost.cost_class == DIRECT:
        return cost.cents, ""
    if cost.cost_class == BEES:
        return percent_of(cost.cents, sharing.bees_percent), STAYS_WITH_COLONIES
    if cost.cost_class != POOLED:
        return 0, NOT_OF_NUCS
    if sharing.driver == NUCS_MADE:
        return cost.cents, ""
    if not sharing.all_minutes:
        return 0, MINUTES_UNKNOWN
    minutes = [sharing.nuc_minutes, sharing.all_minutes - sharing.nuc_minutes]
    return by_driver(cost.cents, minutes)[0], COLONY_WORK


class _Sheet:
    """The working sheet of one report: what each kind is charged per account, and what is left out."""

    def __init__(self, kinds: Sequence[KindFacts]) -> None:
        self.kinds = kinds
        self.charged: dict[str, dict[str, int]] = {kind.key: {} for kind in kinds}
        self.left_out: dict[tuple[str, str, str], int] = {}

    def charge(self, kind: KindFacts, cost: Cost, cents: int) -> None:
        account = self.charged[kind.key]
        account[cost.account] = account.get(cost.account, 0) + cents

    def leave_out(self, cost: Cost, reason: str, cents: int) -> None:
        key = (cost.account, cost.cost_class, reason)
        self.left_out[key] = self.left_out.get(key, 0) + cents

    def spread(self, kind: KindFacts, cost: Cost, cents: int) -> None:
        """Over the survivors of a kind: those handed over are charged, those in hand or kept carry theirs along."""
        if not kind.handed_over + kind.in_hand + kind.kept:
            self.leave_out(cost, NONE_LEFT, cents)
            return
        handed, in_hand, kept = by_driver(cents, [kind.handed_over, kind.in_hand, kind.kept])
        self.charge(kind, cost, handed)
        self.leave_out(cost, IN_HAND, in_hand)
        self.leave_out(cost, KEPT, kept)

    def report(self, costs: Sequence[Cost]) -> SeasonMargin:
        margins = tuple(
            Margin(kind.key, kind.handed_over, kind.sales_cents, _steps(costs, self.charged[kind.key]))
            for kind in self.kinds
        )
        together: dict[str, int] = {}
        for account_cents in self.charged.values():
            for account, cents in account_cents.items():
                together[account] = together.get(account, 0) + cents
        season = Margin(
            "",
            sum(margin.nucs for margin in margins),
            sum(margin.sales_cents for margin in margins),
            _steps(costs, together),
        )
        left_out = tuple(LeftOut(*key, cents) for key, cents in self.left_out.items() if cents)
        return SeasonMargin(margins, season, together, left_out)


def _steps(costs: Sequence[Cost], charged: Mapping[str, int]) -> tuple[Step, ...]:
    """Direct costs by account in the order of the chart, then the bees' share, then the pooled costs as one."""
    direct = [Step(cost.account, DIRECT, charged.get(cost.account, 0)) for cost in costs if cost.cost_class == DIRECT]
    together = [
        Step(name, name, sum(charged.get(cost.account, 0) for cost in costs if cost.cost_class == name))
        for name in (BEES, POOLED)
    ]
    return (*direct, *together)
