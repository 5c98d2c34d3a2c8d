from datetime import date
from typing import Any

from django.utils.formats import date_format
from django.utils.html import format_html, format_html_join
from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import gettext as _now
from django.utils.translation import gettext_lazy as _

from apiary_ops.core.tables import (
    DateColumn,
    LedgerTable,
    LinkColumn,
    MoneyColumn,
    NumberColumn,
    StateColumn,
    TextColumn,
)

from . import queries
from .models import Line, Order, Price

# Numbers and telephones stay on one line.
FIRM = {"cell": {"class": "firm"}}
STATE_TONES = {
    "asked": "now",
    "waiting": "mind",
    "promised": "good",
    "part collected": "good",
    "collected": "quiet",
    "lapsed": "broken",
    "cancelled": "quiet",
}
DEPOSIT_TONES = {"complete": "good", "awaited": "now", "overdue": "mind"}


def state_html(word: Any, tone: str) -> SafeString:
    return format_html('<span class="state state-{}">{}</span>', tone, word)


class OrderTable(LedgerTable):
    caption = _("Orders, latest first")

    number = LinkColumn(verbose_name=_("Order"), url_name="orders:order", key="number", attrs=FIRM)
    placed_on = DateColumn(verbose_name=_("Placed"), format="D j M")
    buyer = LinkColumn(verbose_name=_("Buyer"), url_name="orders:buyer", key="buyer_id", order_by="buyer__search_key")
    asked = TextColumn(verbose_name=_("Asked for"), accessor="pk", orderable=False)
    nucs = NumberColumn(verbose_name=_("Nucs"))
    state = StateColumn(verbose_name=_("State"), accessor="pk", tones=STATE_TONES, orderable=False)
    total_cents = MoneyColumn(verbose_name=_("Before tax"))
    deposit_due_cents = MoneyColumn(verbose_name=_("Deposit"))
    deposit = TextColumn(
        verbose_name=_("Deposit is"), accessor="pk", order_by=("deposit_complete_at", "deposit_due_on")
    )

    def __init__(self, *args: Any, today: date, **kwargs: Any) -> None:
        self.today = today
        super().__init__(*args, **kwargs)

    def render_asked(self, record: Order) -> SafeString:
        return format_html_join(mark_safe("<br>"), "{}", ((text,) for text in _asked(record)))

    def value_asked(self, record: Order) -> str:
        return "; ".join(_asked(record))

    def render_state(self, record: Order) -> SafeString:
        word = queries.state_of(record)
        return state_html(Line.State(word).label, STATE_TONES[word])

    def render_deposit(self, record: Order) -> SafeString | str:
        word = queries.deposit_word(record, self.today)
        if not word:
            return ""
        shown = dict(queries.DEPOSIT_WORDS)[word]
        if word != "complete":
            shown = f"{shown}, {date_format(record.deposit_due_on, 'j M')}"
        return state_html(shown, DEPOSIT_TONES[word])

    def value_deposit(self, record: Order) -> str:
        return queries.deposit_word(record, self.today)


def _asked(order: Order) -> list[str]:
    return [f"{line.quantity} × {line.kind}, {line.round}" for line in order.lines.all()]


class LineTable(LedgerTable):
    """The lines of one order; higher apps add what they know of each (core.panels, kind "line")."""

    caption = _("What was asked for")

    kind = TextColumn(verbose_name=_("Kind"), orderable=False)
    quantity = NumberColumn(verbose_name=_("Nucs"), orderable=False)
    round = TextColumn(verbose_name=_("Round"), orderable=False)
    state = StateColumn(verbose_name=_("State"), tones=STATE_TONES, orderable=False)
    collected = NumberColumn(verbose_name=_("Collected"), orderable=False)
    price_cents = MoneyColumn(verbose_name=_("Each"), orderable=False)
    net_cents = MoneyColumn(verbose_name=_("Before tax"), accessor="pk", orderable=False)
    more = TextColumn(verbose_name=_("Told and next"), accessor="pk", orderable=False, exclude_from_export=True)

    def __init__(self, *args: Any, more: dict[int, str], reasons: dict[int, str], **kwargs: Any) -> None:
        self.more, self.reasons = more, reasons
        super().__init__(*args, **kwargs)

    def render_kind(self, record: Line) -> SafeString | str:
        notes = []
        instead = [str(kind) for kind in record.substitutes.all()]
        if instead:
            notes.append(_now("or %(kinds)s") % {"kinds": ", ".join(instead)})
        if record.part_loads:
            notes.append(_now("may come in parts"))
        return format_html("{}{}", record.kind, _notes(notes))

    def render_state(self, record: Line) -> SafeString:
        reason = self.reasons.get(record.pk)
        word = state_html(record.get_state_display(), STATE_TONES[record.state])
        return format_html("{}{}", word, _notes([reason] if reason else []))

    def render_net_cents(self, record: Line) -> SafeString:
        column = self.columns["price_cents"].column
        return column.html(self)(record.quantity * record.price_cents, record)

    def render_more(self, record: Line) -> SafeString | str:
        return self.more.get(record.pk, "")


def _notes(notes: list[str]) -> SafeString:
    return format_html_join("", '<span class="facts-note">{}</span>', ((note,) for note in notes))


class BuyerTable(LedgerTable):
    caption = _("Buyers by name")

    name = LinkColumn(verbose_name=_("Name"), url_name="orders:buyer", order_by="search_key")
    phone = TextColumn(verbose_name=_("Telephone"), orderable=False, attrs=FIRM)
    email = TextColumn(verbose_name=_("E-mail"), orderable=False)
    tier = TextColumn(verbose_name=_("Tier"))
    nucs = NumberColumn(verbose_name=_("Nucs this season"))
    orders_ever = NumberColumn(verbose_name=_("Orders ever"))


class BuyerOrderTable(LedgerTable):
    caption = _("Every order, latest first")

    number = LinkColumn(verbose_name=_("Order"), url_name="orders:order", key="number", orderable=False)
    placed_on = DateColumn(verbose_name=_("Placed"), orderable=False)
    season = TextColumn(verbose_name=_("Season"), orderable=False)
    nucs = NumberColumn(verbose_name=_("Nucs"), orderable=False)
    deposit_due_cents = MoneyColumn(verbose_name=_("Deposit asked"), orderable=False)


class RoundTable(LedgerTable):
    caption = _("Rounds, in the order of their weeks")

    name = TextColumn(verbose_name=_("Round"), orderable=False)
    starts_on = DateColumn(verbose_name=_("First week begins"), orderable=False)
    ends_before = DateColumn(verbose_name=_("Ends before"), orderable=False)
    nucs = NumberColumn(verbose_name=_("Nucs asked"), orderable=False)


class EditableRoundTable(RoundTable):
    """The same for those who may change a round: its name opens it."""

    name = LinkColumn(verbose_name=_("Round"), url_name="orders:round-edit", orderable=False)


class PriceTable(LedgerTable):
    caption = _("Prices before tax, each from its day on")

    kind = TextColumn(verbose_name=_("Kind"), orderable=False)
    tier = TextColumn(verbose_name=_("For"), orderable=False, empty_values=(None,))
    valid_from = DateColumn(verbose_name=_("Valid from"), orderable=False)
    cents = MoneyColumn(verbose_name=_("Each"), orderable=False)
    tax_category = TextColumn(verbose_name=_("Tax"), orderable=False)

    def render_tier(self, record: Price) -> str:
        return record.get_tier_display() if record.tier else _now("everyone")
