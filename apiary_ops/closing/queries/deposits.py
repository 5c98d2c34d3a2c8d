from collections import Counter

from django.db.models import Sum
from django.utils.translation import gettext as _

from apiary_ops.billing.models import Deposit, DepositMove, Invoice
from apiary_ops.billing.queries import HELD
from apiary_ops.books import queries as books
from apiary_ops.business.models import Season
from apiary_ops.closing.compute import CENTS, Part, Proof, added

from .findings import money_findings, of_subject, order_place

KINDS = DepositMove.Kind


def deposits_proof(season: Season) -> Proof:
    """Deposits taken against what invoices used of them, what was given back, kept or moved, and what is held.

    What was used is read from the invoices, what is held from the totals the database keeps.
    """
    rows = DepositMove.objects.filter(deposit__order__season=season).values_list("deposit__order__number", "kind")
    moved: dict[str, Counter[str]] = {kind: Counter() for kind in KINDS}
    for number, kind, cents in rows.annotate(cents=Sum("cents")).order_by("deposit__order__number"):
        moved[kind][number] += cents
    invoices = Invoice.objects.filter(order__season=season, deposit_cents__gt=0).values_list("order__number")
    applied = dict(invoices.annotate(cents=Sum("deposit_cents")).order_by())
    held = _held_by_order(season)
    out = added(applied, moved[KINDS.REFUNDED], moved[KINDS.KEPT], moved[KINDS.MOVED], held)
    return Proof(
        name=_("Deposits taken"),
        unit=CENTS,
        left_label=_("Taken"),
        left_parts=(Part(_("taken from buyers"), moved[KINDS.TAKEN].total()),),
        right_label=_("What became of them"),
        right_parts=(
            Part(_("applied to invoices"), sum(applied.values())),
            Part(_("given back"), moved[KINDS.REFUNDED].total()),
            Part(_("kept by the terms"), moved[KINDS.KEPT].total()),
            Part(_("moved on"), moved[KINDS.MOVED].total()),
            Part(_("held"), sum(held.values())),
        ),
        exceptions=money_findings(moved[KINDS.TAKEN], out, order_place),
        advice=_("Open the order and compare its deposit with its invoices."),
    )


def deposits_held_proof(season: Season) -> Proof:
    """Deposits held, order by order, against the liability in the books."""
    held = {f"order:{number}": cents for number, cents in _held_by_order(season).items()}
    in_books = {subject: -cents for subject, cents in _liability(season).items()}
    return Proof(
        name=_("Deposits held"),
        unit=CENTS,
        left_label=_("By order"),
        left_parts=(Part(_("held"), sum(held.values())),),
        right_label=_("In the books"),
        right_parts=(Part(_("deposits held for buyers"), sum(in_books.values())),),
        exceptions=money_findings(held, in_books, of_subject("deposits-held", "order", order_place)),
        advice=_("Open the order or the account: an entry by hand on this account makes the difference."),
    )


def _held_by_order(season: Season) -> dict[str, int]:
    rows = Deposit.objects.filter(order__season=season).annotate(held=HELD)
    return dict(rows.order_by("order__number").values_list("order__number", "held"))


def _liability(season: Season) -> dict[str, int]:
    return books.subject_balances("deposits-held", season_id=season.pk)
