from typing import Any

from django.urls import reverse
from django.utils.html import format_html
from django.utils.safestring import SafeString
from django.utils.translation import gettext as _now
from django.utils.translation import gettext_lazy as _

from apiary_ops.core.tables import (
    DateColumn,
    LedgerColumn,
    LedgerTable,
    LinkColumn,
    MoneyColumn,
    NumberColumn,
    StateColumn,
    TextColumn,
)
from apiary_ops.kernel.weeks import Week

from .models import QueenOrder


class BankTable(LedgerTable):
    """Lots with queens in the bank."""

    caption = _("Lots with queens in the bank")

    code = LinkColumn(verbose_name=_("Lot"), url_name="queens:lot", key="code")
    breeder = TextColumn(verbose_name=_("Breeder"))
    received_on = DateColumn(verbose_name=_("Landed"))
    banked = NumberColumn(verbose_name=_("In the bank"))
    hive_by = DateColumn(verbose_name=_("Hive by"))
    left_word = StateColumn(verbose_name=_("Still good"), tones="tone", orderable=False)


class QueenOrderTable(LedgerTable):
    """Orders to breeders; the page leaves out what its reader may not see or do."""

    caption = _("Orders to breeders")

    ship_week = LinkColumn(verbose_name=_("Ships"), url_name="queens:order")
    supplier = TextColumn(verbose_name=_("Breeder"), accessor="supplier__name")
    unit_price_cents = MoneyColumn(verbose_name=_("Price each"))
    queens = NumberColumn(verbose_name=_("Ordered"))
    received_queens = NumberColumn(verbose_name=_("Received"))
    to_come = NumberColumn(verbose_name=_("To come"), orderable=False)
    cancel_by = DateColumn(verbose_name=_("Cancel by"))
    state_word = StateColumn(verbose_name=_("State"), tones="state_tone", orderable=False)
    act = LedgerColumn(verbose_name=_("Act"), empty_values=(), orderable=False, exclude_from_export=True)

    def render_ship_week(self, value: Any) -> str:
        return Week.of(value).label

    def value_ship_week(self, value: Any) -> str:
        return str(Week.of(value).monday)

    def render_act(self, record: QueenOrder) -> SafeString | str:
        if not record.to_come:
            return ""
        return format_html('<a href="{}">{}</a>', reverse("queens:receive", args=[record.pk]), _now("Receive"))


class LotTable(LedgerTable):
    """Every lot of a season."""

    caption = _("Lots of the season")

    code = LinkColumn(verbose_name=_("Lot"), url_name="queens:lot", key="code")
    breeder = TextColumn(verbose_name=_("Breeder"), accessor="order__supplier__name")
    received_on = DateColumn(verbose_name=_("Landed"))
    received = NumberColumn(verbose_name=_("Received"))
    dead_on_arrival = NumberColumn(verbose_name=_("Dead on arrival"))
    introduced = NumberColumn(verbose_name=_("Into nucs"))
    dead = NumberColumn(verbose_name=_("Dead in the bank"))
    banked = NumberColumn(verbose_name=_("In the bank"), orderable=False)


class MoveTable(LedgerTable):
    """Where the queens of a lot went."""

    on = DateColumn(verbose_name=_("Day"), orderable=False)
    kind = TextColumn(verbose_name=_("What"), orderable=False)
    queens = NumberColumn(verbose_name=_("Queens"), orderable=False)
    used_for = TextColumn(verbose_name=_("For"), orderable=False)
    recorded_by = TextColumn(verbose_name=_("Recorded by"), orderable=False)
    cost_cents = MoneyColumn(verbose_name=_("Landed cost"), orderable=False)


class PostingTable(LedgerTable):
    """What a lot posted."""

    posted_on = DateColumn(verbose_name=_("Day"), accessor="entry__posted_on", orderable=False)
    memo = TextColumn(verbose_name=_("What"), accessor="entry__memo", orderable=False)
    account = TextColumn(verbose_name=_("Account"), accessor="account__name", orderable=False)
    debit_cents = MoneyColumn(verbose_name=_("Debit"), orderable=False)
    credit_cents = MoneyColumn(verbose_name=_("Credit"), orderable=False)


class LinkedPostingTable(PostingTable):
    """The same for those who keep the books: each row opens its entry."""

    memo = LinkColumn(
        verbose_name=_("What"), accessor="entry__memo", url_name="books:entry", key="entry_id", orderable=False
    )
