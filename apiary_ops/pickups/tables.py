from django.urls import reverse
from django.utils.html import format_html
from django.utils.translation import gettext_lazy as _
from django_tables2.utils import Accessor

from apiary_ops.core.tables import (
    DateColumn,
    LedgerTable,
    LinkColumn,
    MoneyColumn,
    NumberColumn,
    StateColumn,
    TextColumn,
)

FIRM = {"td": {"class": "firm"}}


class DayTable(LedgerTable):
    caption = _("Pickup days, latest first")

    on = DateColumn(verbose_name=_("Day"), linkify=("pickups:day", [Accessor("pk")]))
    yard = TextColumn(verbose_name=_("Yard"), accessor="yard__name")
    places = NumberColumn(verbose_name=_("Places"))
    taken = NumberColumn(verbose_name=_("Taken"))
    collected = NumberColumn(verbose_name=_("Collected"))


class BookingTable(LedgerTable):
    order = LinkColumn(
        verbose_name=_("Order"),
        accessor="booking__order__number",
        url_name="pickups:booking",
        key="booking__pk",
        attrs=FIRM,
    )
    buyer = TextColumn(verbose_name=_("Buyer"), accessor="booking__order__buyer__name")
    phone = TextColumn(verbose_name=_("Telephone"), accessor="booking__order__buyer__phone", attrs=FIRM)
    kinds = TextColumn(verbose_name=_("Nucs"), orderable=False)
    stands = TextColumn(verbose_name=_("Where they stand"), orderable=False, default=_("not numbered yet"))
    owed = MoneyColumn(verbose_name=_("Owed"), accessor="owed_cents")
    state = StateColumn(verbose_name=_("State"), accessor="booking__get_state_display", tones="tone")


class OrderToBookTable(LedgerTable):
    caption = _("Orders that nucs are owed on")

    order = LinkColumn(
        verbose_name=_("Order"), accessor="number", url_name="orders:order", key="number", attrs=FIRM, orderable=False
    )
    buyer = TextColumn(verbose_name=_("Buyer"), accessor="buyer__name", orderable=False)
    phone = TextColumn(verbose_name=_("Telephone"), accessor="buyer__phone", attrs=FIRM, orderable=False)
    yard = TextColumn(
        verbose_name=_("Collects at"), accessor="pickup_yard__name", default=_("any yard"), orderable=False
    )
    book = TextColumn(verbose_name=_("Book"), accessor="number", orderable=False, exclude_from_export=True)

    def __init__(self, *args, day_pk, **kwargs):
        super().__init__(*args, **kwargs)
        self.day_pk = day_pk

    def render_book(self, value):
        address = reverse("pickups:book", args=[self.day_pk])
        return format_html('<a href="{}?order={}">{}</a>', address, value, _("Book"))
