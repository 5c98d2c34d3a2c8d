from collections import Counter

from django.db.models import F, Sum
from django.urls import reverse
from django.utils.translation import gettext as _

from apiary_ops.billing.models import InvoiceLine
from apiary_ops.books import queries as books
from apiary_ops.business.models import Season
from apiary_ops.closing.compute import CENTS, Finding, Part, Proof
from apiary_ops.costs.models import Bill, Supplier
from apiary_ops.margin.compute import COST_OF_NUCS, NUC_LOSSES
from apiary_ops.margin.queries import LOST_STATES, MarginReport
from apiary_ops.nucs.models import Nuc
from apiary_ops.pickups.models import HandedNuc

from .findings import Place, batch_place, money_findings, of_subject, order_place


def bills_proof(season: Season) -> Proof:
    """Unpaid bills, supplier by supplier, against what is owed to suppliers in the books."""
    bills = Bill.objects.filter(season=season, reversed_on__isnull=True).values_list("supplier_id")
    rows = bills.annotate(cents=Sum(F("total_cents") - F("paid_cents"))).order_by("supplier_id")
    unpaid = {f"supplier:{pk}": cents for pk, cents in rows}
    in_books = {subject: -cents for subject, cents in books.subject_balances("payable", season_id=season.pk).items()}
    names = dict(Supplier.objects.values_list("pk", "name"))
    return Proof(
        name=_("Owed to suppliers"),
        unit=CENTS,
        left_label=_("By bill"),
        left_parts=(Part(_("unpaid"), sum(unpaid.values())),),
        right_label=_("In the books"),
        right_parts=(Part(_("owed to suppliers"), sum(in_books.values())),),
        exceptions=money_findings(
            unpaid, in_books, of_subject("payable", "supplier", lambda key: _supplier_place(key, names))
        ),
        advice=_("Open the supplier or the account: an entry by hand on this account makes the difference."),
    )


def _supplier_place(key: str, names: dict[int, str]) -> Place:
    return names[int(key)], f"{reverse('costs:bills')}?supplier={key}"


def sales_proof(season: Season, report: MarginReport) -> Proof:
    """Nuc sales in the books, order by order, against what the margin report counts from the invoice lines."""
    in_books = {subject: -cents for subject, cents in _by_subject(season, "nuc-sales").items()}
    rows = InvoiceLine.objects.filter(invoice__order__season=season).values_list("invoice__order__number")
    invoiced = {f"order:{number}": cents for number, cents in rows.annotate(cents=Sum("net_cents")).order_by()}
    return Proof(
        name=_("Nuc sales"),
        unit=CENTS,
        left_label=_("In the books"),
        left_parts=(Part(_("nuc sales, without tax"), sum(in_books.values())),),
        right_label=_("In the margin report"),
        right_parts=(Part(_("sales of all kinds"), report.margin.season.sales_cents),),
        exceptions=money_findings(in_books, invoiced, of_subject("nuc-sales", "order", order_place)),
        advice=_("Open the order: its invoice and its entry were made together and must say the same."),
    )


def costs_proof(season: Season, report: MarginReport) -> Proof:
    """The season's expenses in the books against the margin report: charged to nucs, or left out with the reason."""
    names = {"direct": _("direct costs"), "bees": _("keep of the bees"), "pooled": _("pooled costs"), "": _("others")}
    by_class = Counter[str]()
    for cost in report.costs:
        by_class[cost.cost_class] += cost.cents
    return Proof(
        name=_("Costs"),
        unit=CENTS,
        left_label=_("In the books"),
        left_parts=tuple(
            Part(name, sum(cost.cents for cost in report.costs if cost.cost_class == key))
            for key, name in names.items()
        ),
        right_label=_("In the margin report"),
        right_parts=(
            Part(_("charged to nucs handed over"), report.margin.charged_cents),
            Part(_("not charged, each with its reason"), report.margin.left_out_cents),
        ),
        exceptions=(*_cost_of_nucs_off(season), *_losses_off(season)),
        advice=_("Open the batch or the account: an entry by hand on it makes the difference."),
    )


def _cost_of_nucs_off(season: Season) -> tuple[Finding, ...]:
    rows = HandedNuc.objects.filter(nuc__season=season).values_list("nuc__batch_id")
    handed = {f"batch:{pk}": cents for pk, cents in rows.annotate(cents=Sum("queen_cost_cents")).order_by()}
    place = of_subject(COST_OF_NUCS, "batch", batch_place)
    return money_findings(_by_subject(season, COST_OF_NUCS), handed, place)


def _losses_off(season: Season) -> tuple[Finding, ...]:
    rows = Nuc.objects.filter(season=season, state__in=LOST_STATES, handed__isnull=True)
    by_batch = rows.values_list("batch_id").annotate(cents=Sum("queen_cost_cents")).order_by()
    lost = {f"batch:{pk}": cents for pk, cents in by_batch}
    return money_findings(_by_subject(season, NUC_LOSSES), lost, of_subject(NUC_LOSSES, "batch", batch_place))


def _by_subject(season: Season, account: str) -> dict[str, int]:
    """An income or expense account by subject, as it was before a fiscal year was closed."""
    lines = books.lines(account_keys=[account], season_id=season.pk, before_closing=True)
    return dict(lines.values_list("subject").annotate(cents=Sum("cents")).order_by("subject"))
