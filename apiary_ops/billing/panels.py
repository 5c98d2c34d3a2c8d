"""What billing shows on the pages of orders, their lines and buyers."""

from django.http import HttpRequest
from django.urls import reverse
from django.utils.translation import gettext as _

from apiary_ops.core.panels import Panel
from apiary_ops.orders import queries as order_queries
from apiary_ops.orders.models import Buyer, Line, Order
from apiary_ops.people.access import may_open

from . import queries
from .models import Deposit


def deposit_and_papers(request: HttpRequest, order: Order) -> Panel | None:
    """Deposit taken, used and held, with every receipt and invoice of the order."""
    may_take = may_open(request.user.role, "billing:take-deposit")
    deposit = queries.deposit_of(order)
    return Panel(
        key="money",
        heading=_("Deposit and papers"),
        template="billing/_order_panel.html",
        context={
            "order": order,
            "deposit": deposit,
            "moves": queries.moves_of(order),
            "receipts": queries.receipts().filter(order=order),
            "invoices": queries.invoices().filter(order=order),
            "owed": queries.owed(order),
            "may_move": may_take and deposit.held_cents > 0,
            "may_keep": _may_keep(request, order, deposit),
        },
        url=reverse("billing:take-deposit", args=[order.number]) if may_take else "",
        label=_("Take a deposit"),
    )


def _may_keep(request: HttpRequest, order: Order, deposit: Deposit) -> bool:
    """Whether refunds by the terms are over and something is held that no nuc still to come needs."""
    is_over = request.today > order_queries.refund_until(order)
    return is_over and deposit.held_cents > queries.asked_for_what_is_left(order)


def cancel_link(request: HttpRequest, line: Line) -> Panel | None:
    """The way to cancel a line, where something is left to cancel."""
    if not line.may_be_cancelled or not may_open(request.user.role, "billing:cancel-line"):
        return None
    return Panel("cancel", "", "billing/_cancel_link.html", {"line": line})


def owed_by_buyer(request: HttpRequest, buyer: Buyer) -> Panel | None:
    """The unpaid invoices of a buyer."""
    if not may_open(request.user.role, "billing:invoice"):
        return None
    unpaid = queries.invoices().filter(buyer=buyer, owed__gt=0)
    context = {"invoices": unpaid, "owed": sum(invoice.owed for invoice in unpaid)}
    return Panel("owed", _("Owed by this buyer"), "billing/_buyer_panel.html", context)
