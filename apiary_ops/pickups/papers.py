"""The run sheet: one paper that a pickup morning runs on."""

from dataclasses import replace
from datetime import date

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from apiary_ops.business import queries as business_queries
from apiary_ops.business.papers import paper_header, paper_words
from apiary_ops.core.days import spoken_day
from apiary_ops.kernel.money import Money
from apiary_ops.papers import (
    Block,
    Column,
    build,
    facts,
    heading,
    paragraph,
    signature_line,
    table,
    tick_box,
    title,
)

from . import queries
from .models import PickupDay, Window
from .queries import BookingRow


def run_sheet_pdf(day_id: int, *, printed_on: date) -> bytes:
    """The bookings of a day by window: buyer, telephone, nucs and where they stand, owed, ticks, signature."""
    business = business_queries.business()
    day = PickupDay.objects.select_related("yard", "season").get(pk=day_id)
    rows = [row for row in queries.rows_of_days([day], on=day.on) if not row.is_missed]
    blocks = [title(_("Run sheet"), f"{spoken_day(day.on)} · {day.yard}"), facts(_facts(day, rows, business.currency))]
    if day.notes:
        blocks.append(paragraph(day.notes))
    for window in queries.windows_of(day):
        own = [row for row in rows if row.booking.window_id == window.pk]
        blocks += _window(window, own, business.currency)
    blocks.append(signature_line(_("Sheet closed by, date and time")))
    header = paper_header(business)
    return build(
        replace(header, cautions=(*_cautions(), *header.cautions)),
        blocks,
        title=_("Run sheet"),
        number=f"{spoken_day(day.on)} {day.yard}",
        printed_on=printed_on,
        words=paper_words(),
    )


def _facts(day: PickupDay, rows: list[BookingRow], currency: str) -> list[tuple[str, str]]:
    owed = Money(sum(row.owed_cents for row in rows), currency)
    place = " · ".join(part for part in (day.yard.place, day.yard.access_notes) if part)
    pairs = [
        (_("Cars"), str(len(rows))),
        (_("Nucs"), str(sum(row.nucs for row in rows))),
        (_("Owed in all"), str(owed)),
    ]
    return [*pairs, (_("Place"), place)] if place else pairs


def _window(window: Window, rows: list[BookingRow], currency: str) -> list[Block]:
    free = window.places - window.booked
    words = ngettext("%(count)s place free", "%(count)s places free", free) % {"count": free}
    head = heading(f"{window} · {words}")
    if not rows:
        return [head, paragraph(_("Nobody is booked."))]
    columns = [
        Column(_("Buyer"), share=1.8),
        Column(_("Telephone"), share=1.1),
        Column(_("Nucs and where they stand"), share=1.9),
        Column(_("Owed (%(currency)s)") % {"currency": currency}, "right", share=0.8),
        tick_box(_("Paid")),
        tick_box(_("Gone")),
        Column(_("Signature"), share=1.2),
    ]
    return [head, table(columns, [_row(row, currency) for row in rows], roomy=True)]


def _row(row: BookingRow, currency: str) -> tuple[str, str, str, str, str]:
    order = row.booking.order
    return (
        f"{order.buyer}\n{order.number}",
        order.buyer.phone or "–",
        f"{row.kinds}\n{row.stands or _('not numbered')}",
        Money(row.owed_cents, currency).plain,
        _("collected") if row.is_collected else "",
    )


def _cautions() -> list[str]:
    """Where the danger of this morning is; the business's own follow."""
    return [
        _("Only nucs that are ready and not on hold leave the yard. If in doubt, ask before you load."),
        _("Close and strap each box; keep it out of the sun and give it air. No bees in a closed car without it."),
        _("Nobody near the hives without a veil. Ask every buyer about sting allergy before a box is lifted."),
    ]
