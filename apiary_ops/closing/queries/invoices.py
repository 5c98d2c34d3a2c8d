from django.db.models import Sum
from django.urls import reverse
from django.utils.translation import gettext as _

from apiary_ops.billing.models import DepositMove, Invoice, InvoicePayment
from apiary_ops.billing.queries import OWED
from apiary_ops.books import queries as books
from apiary_ops.business.models import Season
from apiary_ops.closing.compute import CENTS, Part, Proof, added, differences
from apiary_ops.orders.models import Buyer

from .findings import Place, money_findings, of_subject, order_place


def invoices_proof(season: Season) -> Proof:
    """Invoiced, order by order, against the deposit moves, the payments, and what the invoices still ask."""
    invoices = Invoice.objects.filter(order__season=season).values_list("order__number")
    rows = invoices.annotate(total=Sum("total_cents"), owed=Sum(OWED)).order_by("order__number")
    invoiced, owed = {}, {}
    for number, total, still in rows:
        invoiced[number], owed[number] = total, still
    moves = DepositMove.objects.filter(deposit__order__season=season, kind=DepositMove.Kind.APPLIED)
    applied = dict(moves.values_list("deposit__order__number").annotate(cents=Sum("cents")).order_by())
    payments = InvoicePayment.objects.filter(invoice__order__season=season).values_list("invoice__order__number")
    paid = dict(payments.annotate(cents=Sum("cents")).order_by())
    return Proof(
        name=_("Invoiced"),
        unit=CENTS,
        left_label=_("On invoices, with tax"),
        left_parts=(Part(_("invoiced"), sum(invoiced.values())),),
        right_label=_("How it was settled"),
        right_parts=(
            Part(_("deposits applied"), sum(applied.values())),
            Part(_("paid"), sum(paid.values())),
            Part(_("still owed"), sum(owed.values())),
        ),
        exceptions=money_findings(invoiced, added(applied, paid, owed), order_place),
        advice=_("Open the order and compare its invoices with its receipts."),
    )


def owed_proof(season: Season) -> Proof:
    """What invoices still ask, buyer by buyer, against what buyers owe in the books."""
    rows = Invoice.objects.filter(order__season=season).values_list("buyer_id")
    owed = {f"buyer:{pk}": cents for pk, cents in rows.annotate(cents=Sum(OWED)).order_by("buyer_id")}
    in_books = books.subject_balances("receivable", season_id=season.pk)
    names = dict(Buyer.objects.filter(pk__in=_differing(owed, in_books)).values_list("pk", "name"))
    return Proof(
        name=_("Owed by buyers"),
        unit=CENTS,
        left_label=_("By invoice"),
        left_parts=(Part(_("still owed"), sum(owed.values())),),
        right_label=_("In the books"),
        right_parts=(Part(_("owed by buyers"), sum(in_books.values())),),
        exceptions=money_findings(
            owed, in_books, of_subject("receivable", "buyer", lambda key: _buyer_place(key, names))
        ),
        advice=_("Open the buyer or the account: an entry by hand on this account makes the difference."),
    )


def _differing(owed: dict[str, int], in_books: dict[str, int]) -> list[int]:
    """The buyers whose names are needed: a season has thousands, and hardly one differs."""
    keys = [subject.removeprefix("buyer:") for subject, _one, _other in differences(owed, in_books)]
    return [int(key) for key in keys if key.isdecimal()]


def _buyer_place(key: str, names: dict[int, str]) -> Place:
    return names[int(key)], reverse("orders:buyer", args=[int(key)])
