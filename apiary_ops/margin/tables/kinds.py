from dataclasses import asdict, dataclass, replace

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from apiary_ops.core.tables import LedgerTable, MoneyColumn, NumberColumn, TextColumn
from apiary_ops.margin import compute
from apiary_ops.margin.queries import MarginReport

REASONS = {
    compute.IN_HAND: gettext_lazy("goes with nucs still in hand"),
    compute.KEPT: gettext_lazy("goes with nucs kept as colonies"),
    compute.NONE_LEFT: gettext_lazy("no nuc of its kind is left to bear it"),
    compute.NONE_MADE: gettext_lazy("waits until nucs are made"),
    compute.STAYS_WITH_COLONIES: gettext_lazy("stays with the colonies"),
    compute.COLONY_WORK: gettext_lazy("visits to colonies, by minutes"),
    compute.MINUTES_UNKNOWN: gettext_lazy("no visit minutes are recorded to share it by"),
    compute.NOT_OF_NUCS: gettext_lazy("not a cost of nucs"),
}


@dataclass(frozen=True, slots=True)
class KindRow:
    """One kind, in cents per nuc handed over (None where none was), and its margin in all."""

    name: str
    nucs: int
    price: int | None
    direct: int | None
    contribution: int | None
    fixed: int | None
    margin: int | None
    total: int


class KindTable(LedgerTable):
    caption = gettext_lazy("Each amount per nuc handed over, the last one in all")

    name = TextColumn(verbose_name=gettext_lazy("Kind"), orderable=False)
    nucs = NumberColumn(verbose_name=gettext_lazy("Handed over"), orderable=False)
    price = MoneyColumn(verbose_name=gettext_lazy("Price, net"), orderable=False, default="–")
    direct = MoneyColumn(verbose_name=gettext_lazy("Direct costs"), orderable=False, default="–")
    contribution = MoneyColumn(verbose_name=gettext_lazy("Contribution"), orderable=False, default="–")
    fixed = MoneyColumn(verbose_name=gettext_lazy("Bees and pooled"), orderable=False, default="–")
    margin = MoneyColumn(verbose_name=gettext_lazy("Margin"), orderable=False, default="–")
    total = MoneyColumn(verbose_name=gettext_lazy("Margin in all"), orderable=False)


@dataclass(frozen=True, slots=True)
class ExpenseRow:
    """One expense account: what the books hold, in cents, and where the margin report puts it."""

    account: str
    books: int
    charged: int
    carried: int
    left_out: int
    why: str

    @property
    def agrees(self) -> bool:
        return self.books == self.charged + self.carried + self.left_out


class ExpenseTable(LedgerTable):
    caption = gettext_lazy("Expenses of the season by account")

    account = TextColumn(verbose_name=gettext_lazy("Account"), orderable=False)
    books = MoneyColumn(verbose_name=gettext_lazy("In the books"), orderable=False)
    charged = MoneyColumn(verbose_name=gettext_lazy("Charged above"), orderable=False)
    carried = MoneyColumn(verbose_name=gettext_lazy("With nucs in hand or kept"), orderable=False)
    left_out = MoneyColumn(verbose_name=gettext_lazy("Not charged to nucs"), orderable=False)
    why = TextColumn(verbose_name=gettext_lazy("Why not"), orderable=False)

    def row_tone(self, record: ExpenseRow) -> str:
        return "" if record.agrees else "broken"


def kind_table(report: MarginReport, currency: str) -> KindTable:
    """The kinds side by side, the season below them."""
    rows = [_kind_row(report.kinds[margin.key].name, margin) for margin in report.margin.kinds]
    totals = asdict(_kind_row(_("Season"), report.margin.season))
    return KindTable(rows, currency=currency, totals=totals)


def _kind_row(name: str, margin: compute.Margin) -> KindRow:
    each = compute.rounded_per_nuc(margin)
    if each is None:
        return KindRow(name, 0, None, None, None, None, None, margin.margin_cents)
    return KindRow(
        name=name,
        nucs=margin.nucs,
        price=each.price_cents,
        direct=sum(each.direct),
        contribution=each.contribution_cents,
        fixed=sum(each.fixed),
        margin=each.margin_cents,
        total=margin.margin_cents,
    )


def expense_table(report: MarginReport, currency: str) -> ExpenseTable:
    """Each expense account of the season that holds anything, in the order of the chart."""
    rows = [_expense_row(cost, report) for cost in report.costs]
    rows = [row for row in rows if row.books or row.charged or row.carried or row.left_out]
    names = ("books", "charged", "carried", "left_out")
    return ExpenseTable(
        rows,
        currency=currency,
        totals={name: sum(getattr(row, name) for row in rows) for name in names},
        empty_text=_("The books hold no expense of this season yet."),
    )


def _expense_row(cost: compute.Cost, report: MarginReport) -> ExpenseRow:
    others = [reason for reason in REASONS if reason not in compute.CARRIED]
    whys = [str(REASONS[reason]) for reason in others if report.margin.left_out_of(cost.account, [reason])]
    row = ExpenseRow(
        account=report.accounts[cost.account].name,
        books=cost.cents,
        charged=report.margin.charged.get(cost.account, 0),
        carried=report.margin.left_out_of(cost.account, compute.CARRIED),
        left_out=report.margin.left_out_of(cost.account, others),
        why="; ".join(whys),
    )
    return row if row.agrees else replace(row, why=_("differs from what the nucs cost: see Close"))
