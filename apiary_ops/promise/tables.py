from typing import Any

from django.urls import reverse
from django.utils.html import format_html
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from apiary_ops.core.tables import DateColumn, LedgerTable, LinkColumn, NumberColumn, TextColumn


class RoomTable(LedgerTable):
    """What may still be promised, by round and kind."""

    caption = gettext_lazy("Nucs by round and kind")

    round = TextColumn(verbose_name=gettext_lazy("Round"), orderable=False)
    kind = TextColumn(verbose_name=gettext_lazy("Kind"), orderable=False)
    room = NumberColumn(verbose_name=gettext_lazy("Room"), orderable=False)
    promised = NumberColumn(verbose_name=gettext_lazy("Promised"), orderable=False)
    paid = NumberColumn(verbose_name=gettext_lazy("Of these, deposit paid"), orderable=False)
    waiting = NumberColumn(verbose_name=gettext_lazy("Waiting"), orderable=False)
    short = NumberColumn(verbose_name=gettext_lazy("At risk"), orderable=False)

    def row_tone(self, record: Any) -> str:
        return "broken" if record.short else ""


class WaitTable(LedgerTable):
    """The waitlist; a line that fits now has its button."""

    caption = gettext_lazy("Lines that wait, in the order they are served")

    place = NumberColumn(verbose_name=gettext_lazy("Place"), orderable=False)
    buyer = TextColumn(verbose_name=gettext_lazy("Buyer"), accessor="line__order__buyer", orderable=False)
    order = LinkColumn(
        verbose_name=gettext_lazy("Order"),
        url_name="orders:order",
        key="line__order__number",
        accessor="line__order__number",
        orderable=False,
        attrs={"td": {"class": "firm"}},
    )
    nucs = NumberColumn(verbose_name=gettext_lazy("Nucs"), accessor="line__quantity", orderable=False)
    kind = TextColumn(verbose_name=gettext_lazy("Kind"), accessor="line__kind", orderable=False)
    paid = DateColumn(
        verbose_name=gettext_lazy("Deposit complete"), accessor="line__order__deposit_complete_at", orderable=False
    )
    room = NumberColumn(verbose_name=gettext_lazy("Room for it"), orderable=False)
    reason = TextColumn(verbose_name=gettext_lazy("Why it waits"), orderable=False)
    offer = TextColumn(
        verbose_name="", accessor="line__pk", orderable=False, exclude_from_export=True, attrs={"td": {"class": "firm"}}
    )

    def render_offer(self, value: int, record: Any) -> str:
        if not record.fits:
            return _("not yet")
        url = reverse("promise:promise-line", args=[value])
        return format_html('<a class="button" href="{}">{}</a>', f"{url}?back=waitlist", _("Promise it"))
