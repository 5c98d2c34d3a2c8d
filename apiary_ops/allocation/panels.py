"""What allocation shows on lower pages: the places of an order in the standing plan, and whose a nuc is."""

from django.http import HttpRequest
from django.urls import reverse
from django.utils.translation import gettext as _

from apiary_ops.core.panels import Panel
from apiary_ops.nucs.models import Nuc
from apiary_ops.orders.models import Order
from apiary_ops.people.access import may_open

from . import queries


def places_of_order(request: HttpRequest, order: Order) -> Panel | None:
    """Which week the standing plan gives each line, and why."""
    places = list(queries.standing_places([order.pk]))
    if not places:
        return None
    may_see = may_open(request.user.role, "allocation:plan")
    return Panel(
        key="places",
        heading=_("In the plan"),
        template="allocation/_order_panel.html",
        context={"places": places},
        url=reverse("allocation:plan") if may_see else "",
        label=_("The whole plan"),
    )


def bound_to(request: HttpRequest, nuc: Nuc) -> Panel | None:
    """The order a nuc stands ready for, or went to."""
    binding = queries.live_bindings([nuc.pk]).first()
    if binding is None or not may_open(request.user.role, "orders:order"):
        return None
    return Panel("bound", _("Given to"), "allocation/_nuc_panel.html", {"binding": binding})
