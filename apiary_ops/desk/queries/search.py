"""One search box: tag, nuc number, buyer, phone, or the number of an order, an invoice or a receipt."""

from dataclasses import dataclass
from typing import Any

from django.urls import reverse
from django.utils.translation import gettext as _

from apiary_ops.billing import queries as billing
from apiary_ops.business.models import Season
from apiary_ops.nucs.models import Nuc
from apiary_ops.orders import queries as orders
from apiary_ops.orders.models import Order
from apiary_ops.people.access import may_open
from apiary_ops.yards.models import Colony, Yard

MOST = 20


@dataclass(frozen=True, slots=True)
class Hit:
    kind: str
    name: str
    note: str
    url: str


def search(text: str, *, season: Season, role: str) -> list[Hit]:
    """What the words name, exact things before likely ones, only what the role may open."""
    words = " ".join(text.split())[:80]
    if not words:
        return []
    places = (
        ("yards:colony", _colonies),
        ("nucs:nuc", _nucs),
        ("orders:order", _orders),
        ("orders:buyer", _buyers),
        ("billing:invoice", _invoices),
        ("billing:receipt", _receipts),
        ("yards:detail", _yards),
    )
    return [hit for page, find in places if may_open(role, page) for hit in find(words, season)]


def _colonies(words: str, season: Season) -> list[Hit]:
    rows = Colony.objects.filter(tag__icontains=words).select_related("yard").order_by("tag")[:MOST]
    return [
        Hit(
            _("Colony"),
            row.tag,
            f"{row.yard.name} · {row.get_state_display()}",
            reverse("yards:colony", args=[row.tag]),
        )
        for row in rows
    ]


def _nucs(words: str, season: Season) -> list[Hit]:
    number = words.lstrip("#")
    # Longer digits are a telephone number, and too long for a number column.
    if not number.isdecimal() or len(number) > 6:
        return []
    rows = Nuc.objects.filter(season=season, number=int(number)).select_related("kind", "yard")
    return [
        Hit(_("Nuc"), str(row.number), f"{row.kind} · {row.get_state_display()}", reverse("nucs:nuc", args=[row.pk]))
        for row in rows
    ]


def _orders(words: str, season: Season) -> list[Hit]:
    rows = Order.objects.filter(number__icontains=words).select_related("buyer").order_by("-number")[:MOST]
    return [Hit(_("Order"), row.number, row.buyer.name, reverse("orders:order", args=[row.number])) for row in rows]


def _buyers(words: str, season: Season) -> list[Hit]:
    rows: Any = orders.buyers(words)[:MOST]
    return [Hit(_("Buyer"), row.name, row.phone, reverse("orders:buyer", args=[row.pk])) for row in rows]


def _invoices(words: str, season: Season) -> list[Hit]:
    rows = billing.invoices().filter(number__iexact=words)
    return [
        Hit(_("Invoice"), row.number, row.buyer_name, reverse("billing:invoice", args=[row.number])) for row in rows
    ]


def _receipts(words: str, season: Season) -> list[Hit]:
    rows = billing.receipts().filter(number__iexact=words)
    return [
        Hit(_("Receipt"), row.number, row.buyer_name, reverse("billing:receipt", args=[row.number])) for row in rows
    ]


def _yards(words: str, season: Season) -> list[Hit]:
    rows = Yard.objects.filter(name__icontains=words).order_by("name", "id")[:MOST]
    return [Hit(_("Yard"), row.name, row.place, reverse("yards:detail", args=[row.code])) for row in rows]
