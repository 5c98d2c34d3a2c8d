from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal

from django.db.models import Count, F, Min, Q, Sum

from apiary_ops.billing.models import InvoiceLine
from apiary_ops.books import queries as books
from apiary_ops.books.models import Account
from apiary_ops.costs.models import CostAssumptions
from apiary_ops.costs.queries import cost_assumptions
from apiary_ops.kernel.rounding import whole_cents
from apiary_ops.kernel.shares import shares
from apiary_ops.nucs.models import Batch, Nuc, NucKind
from apiary_ops.pickups.models import HandedNuc
from apiary_ops.yards.models import Visit

from . import compute

LOST_STATES = (Nuc.State.LOST, Nuc.State.UNITED)
# A returned nuc stands in the yard again.
IN_HAND_STATES = (*Nuc.LIVE_STATES, Nuc.State.RETURNED)


@dataclass(frozen=True, slots=True)
class Memo:
    """What no ledger holds: the grower's own time and the honey given up. None where nothing is stated."""

    own_time_cents: int | None
    honey_cents: int | None


@dataclass(frozen=True, slots=True)
class MarginReport:
    """A season's margin with what it came from."""

    margin: compute.SeasonMargin
    facts: Mapping[str, compute.KindFacts]
    kinds: Mapping[str, NucKind]
    accounts: Mapping[str, Account]
    costs: tuple[compute.Cost, ...]
    sharing: compute.Sharing
    assumptions: CostAssumptions
    memo: Memo

    @property
    def books_cents(self) -> int:
        """All expenses of the season as the books have them."""
        return sum(cost.cents for cost in self.costs)

    @property
    def agrees(self) -> bool:
        """Whether the report charges or leaves out exactly what the books hold."""
        return self.margin.cost_cents == self.books_cents


def season_margin(season_id: int) -> MarginReport:
    """What the season's nucs cost and earned, from the postings, nucs, invoices and visits as they stand now."""
    kinds, facts = _kinds_and_facts(season_id)
    # Once a fiscal year is closed its expenses stand at zero; the season's are looked at as they were before.
    rows = [
        row
        for row in books.trial_balance(season_id=season_id, before_closing=True)
        if row.account.kind == Account.Kind.EXPENSE
    ]
    costs = tuple(compute.Cost(row.account.key, row.account.cost_class, row.cents) for row in rows)
    assumptions = cost_assumptions(season_id)
    sharing = _sharing(season_id, assumptions)
    return MarginReport(
        margin=compute.season_margin(facts, costs, sharing),
        facts={fact.key: fact for fact in facts},
        kinds={kind.code: kind for kind in kinds},
        accounts={row.account.key: row.account for row in rows},
        costs=costs,
        sharing=sharing,
        assumptions=assumptions,
        memo=_memo(assumptions),
    )


def _kinds_and_facts(season_id: int) -> tuple[list[NucKind], list[compute.KindFacts]]:
    """Every kind that was made or sold in the season, in the order they were added, and what became of it."""
    states: dict[int, dict[str, tuple[int, int]]] = {}
    fates = Nuc.objects.filter(season_id=season_id).values_list("kind_id", "state")
    # What a returned nuc cost was charged when it was handed over, and is charged once.
    uncharged = Sum("queen_cost_cents", filter=Q(handed__isnull=True), default=0)
    for kind_id, state, nucs, cents in fates.annotate(nucs=Count("pk"), cents=uncharged).order_by():
        states.setdefault(kind_id, {})[state] = (nucs, cents)
    handed = HandedNuc.objects.filter(nuc__season_id=season_id)
    queens = dict(handed.values_list("nuc__kind_id").annotate(cents=Sum("queen_cost_cents")).order_by())
    sales = _sales_by_kind(season_id)
    kinds = list(NucKind.objects.filter(pk__in=states.keys() | sales.keys()).order_by("id"))
    facts = [_facts(kind, states.get(kind.pk, {}), sales.get(kind.pk, 0), queens.get(kind.pk, 0)) for kind in kinds]
    return kinds, facts


def _facts(kind: NucKind, states: Mapping[str, tuple[int, int]], sales: int, queens: int) -> compute.KindFacts:
    return compute.KindFacts(
        key=kind.code,
        made=sum(nucs for nucs, _cents in states.values()),
        handed_over=_total(states, [Nuc.State.HANDED_OVER], 0),
        in_hand=_total(states, IN_HAND_STATES, 0),
        kept=_total(states, [Nuc.State.KEPT], 0),
        lost=_total(states, LOST_STATES, 0),
        sales_cents=sales,
        queen_cents=queens,
        loss_cents=_total(states, LOST_STATES, 1),
    )


def _total(states: Mapping[str, tuple[int, int]], wanted: Iterable[str], place: int) -> int:
    return sum(states.get(state, (0, 0))[place] for state in wanted)


def _sales_by_kind(season_id: int) -> dict[int, int]:
    """Net sales by the kind that was handed over, which a buyer may have accepted instead of the kind asked for.

    An invoice line for several kinds is shared by their numbers.
    """
    handed: dict[tuple[int, int], dict[int, int]] = {}
    rows = HandedNuc.objects.filter(hand_over__order__season_id=season_id)
    counts = rows.values_list("hand_over__invoice_id", "line_id", "nuc__kind_id").annotate(nucs=Count("pk"))
    for invoice_id, line_id, kind_id, nucs in counts.order_by("hand_over__invoice_id", "line_id", "nuc__kind_id"):
        handed.setdefault((invoice_id, line_id), {})[kind_id] = nucs
    sales: dict[int, int] = {}
    invoiced = InvoiceLine.objects.filter(invoice__order__season_id=season_id)
    for invoice_id, line_id, asked_kind, net in invoiced.values_list(
        "invoice_id", "order_line_id", "order_line__kind_id", "net_cents"
    ):
        kinds = handed.get((invoice_id, line_id), {asked_kind: 1})
        parts = shares(net, list(kinds.values())) if len(kinds) > 1 else [net]  # nearly always one kind
        for kind_id, part in zip(kinds, parts, strict=True):
            sales[kind_id] = sales.get(kind_id, 0) + part
    return sales


def _sharing(season_id: int, assumptions: CostAssumptions) -> compute.Sharing:
    """Person-minutes of the season's visits; those to nucs are split days, nuc checks, and feeding once nucs stand."""
    first_made = Batch.objects.filter(season_id=season_id).aggregate(day=Min("made_on"))["day"]
    to_nucs = Q(work__in=["split", "check"])
    if first_made is not None:
        to_nucs |= Q(work="feed", on__gte=first_made)
    spent = Sum(F("minutes") * F("people"), filter=to_nucs)
    totals = Visit.objects.filter(season_id=season_id).aggregate(nucs=spent, all=Sum(F("minutes") * F("people")))
    return compute.Sharing(
        bees_percent=assumptions.bees_share_percent,
        driver=assumptions.pooled_driver,
        nuc_minutes=totals["nucs"] or 0,
        all_minutes=totals["all"] or 0,
    )


def _memo(assumptions: CostAssumptions) -> Memo:
    hours, each = assumptions.own_hours, assumptions.own_hour_cents
    own_time = None if hours is None or each is None else whole_cents(Decimal(hours) * each)
    return Memo(own_time, assumptions.honey_given_up_cents)


@dataclass(frozen=True, slots=True)
class Earning:
    """The figures of the season: per nuc and in all, and how far the sales lie from break-even."""

    margin: compute.Margin
    each: compute.PerNuc | None
    fixed_to_cover_cents: int
    break_even: int | None
    above: int | None
    leverage: Decimal | None
    after_memo_cents: int | None


def earning(report: MarginReport) -> Earning:
    """What the season earned, from its margin report."""
    season = report.margin.season
    fixed = report.margin.fixed_to_cover_cents
    needed = compute.break_even(fixed, season.contribution_cents, season.nucs)
    stated = [cents for cents in (report.memo.own_time_cents, report.memo.honey_cents) if cents is not None]
    return Earning(
        margin=season,
        each=compute.rounded_per_nuc(season),
        fixed_to_cover_cents=fixed,
        break_even=needed,
        above=compute.margin_of_safety(season.nucs, needed),
        leverage=compute.leverage(season.contribution_cents, season.margin_cents),
        after_memo_cents=season.margin_cents - sum(stated) if stated else None,
    )
