"""Column classes: what a value looks like on the screen and in an export."""

from collections.abc import Mapping
from copy import copy
from datetime import date, datetime
from decimal import Decimal
from typing import TYPE_CHECKING, Any

from django.utils.dateformat import format as format_date
from django.utils.formats import get_format
from django.utils.html import conditional_escape, escape
from django.utils.timezone import is_aware, localtime
from django_tables2 import Column
from django_tables2.utils import Accessor

from apiary_ops.core.tables.cells import Show, reader
from apiary_ops.kernel.formulas import PLAIN_NUMBER
from apiary_ops.kernel.money import MINOR_UNITS, MINUS, Money

if TYPE_CHECKING:
    from apiary_ops.core.tables import LedgerTable


class LedgerColumn(Column):
    """A column that compiles itself once per page: `text` for exports, `html` for the screen."""

    css_class = ""

    def __deepcopy__(self, memo: dict[int, Any]) -> "LedgerColumn":
        # The library copies all columns for each table; only flat fields are ever set on the copy.
        return copy(self)

    def unit(self, table: "LedgerTable") -> str:
        """What stands in brackets in the head, such as kg or CAD."""
        return ""

    def text(self, table: "LedgerTable") -> Show:
        return lambda value, record: str(value)

    def html(self, table: "LedgerTable") -> Show:
        text = self.text(table)
        return lambda value, record: conditional_escape(text(value, record))

    def value(self, text: str) -> Any:
        """What a spreadsheet keeps of the plain `text` of a cell; text that is not of the column's kind stays text."""
        return text

    def sort_key(self, value: Any) -> Any:
        return value.casefold() if isinstance(value, str) else value


class TextColumn(LedgerColumn):
    """Text as it is; a model field with choices shows its label. A `unit` stands in the head."""

    def __init__(self, *args: Any, unit: str = "", **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self._unit = unit

    def unit(self, table: "LedgerTable") -> str:
        return self._unit

    def text(self, table: "LedgerTable") -> Show:
        field = self.accessor.get_field(table.data.model)
        labels = dict(getattr(field, "flatchoices", None) or ())
        if labels:
            return lambda value, record: str(labels.get(value, value))
        return super().text(table)


class LinkColumn(TextColumn):
    """Text that opens the page `url_name`, whose one argument is found at `key` on the record."""

    def __init__(self, *args: Any, url_name: str, key: str = "pk", **kwargs: Any) -> None:
        super().__init__(*args, linkify=(url_name, [Accessor(key)]), **kwargs)


class NumberColumn(LedgerColumn):
    """A number with thousands, right-aligned; `decimals` fixes its places, `unit` stands in the head."""

    css_class = "number"

    def __init__(self, *args: Any, decimals: int | None = None, unit: str = "", **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.decimals = decimals
        self._unit = unit

    def unit(self, table: "LedgerTable") -> str:
        return self._unit

    def digits(self, table: "LedgerTable", grouping: str) -> Show:
        if self.decimals is not None:
            fixed = f"z{grouping}.{self.decimals}f"
            return lambda value, record: format(value, fixed)
        exact = grouping + "f"
        return lambda value, record: format(value, exact if isinstance(value, Decimal) else grouping)

    def text(self, table: "LedgerTable") -> Show:
        return self.digits(table, "")

    def html(self, table: "LedgerTable") -> Show:
        digits = self.digits(table, ",")
        return lambda value, record: escape(digits(value, record).replace("-", MINUS))

    def value(self, text: str) -> Decimal | str:
        return Decimal(text) if PLAIN_NUMBER.fullmatch(text) else text


class MoneyColumn(NumberColumn):
    """Whole cents (int) or Money. The head names the currency; a cell names it only where it is another one."""

    def __init__(self, *args: Any, currency: str = "", **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.currency = currency

    def unit(self, table: "LedgerTable") -> str:
        return self.currency or table.currency

    def digits(self, table: "LedgerTable", grouping: str) -> Show:
        named = self.unit(table)

        def amount(value: int | Money, record: Any) -> str:
            cents, currency = (value.cents, value.currency) if isinstance(value, Money) else (value, named)
            decimals = MINOR_UNITS[currency] if currency else 2
            whole, part = divmod(abs(cents), 10**decimals)
            places = f".{part:0{decimals}d}" if decimals else ""
            code = "" if currency == named else f"\N{NO-BREAK SPACE}{currency}"
            return f"{'-' if cents < 0 else ''}{whole:{grouping}}{places}{code}"

        return amount

    def sort_key(self, value: Any) -> Any:
        return (value.currency, value.cents) if isinstance(value, Money) else value


class DateColumn(LedgerColumn):
    """A day with its weekday ("Wed 12 May 2027"); an instant shows its local day. Exports say 2027-05-12."""

    css_class = "date"

    def __init__(self, *args: Any, format: str = "D j M Y", **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.format = format

    def text(self, table: "LedgerTable") -> Show:
        return lambda value, record: local_day(value).isoformat()

    def value(self, text: str) -> date | str:
        try:
            return date.fromisoformat(text)
        except ValueError:
            return text

    def html(self, table: "LedgerTable") -> Show:
        pattern = get_format(self.format)
        shown: dict[date, str] = {}  # a page repeats few days

        def show(value: date, record: Any) -> str:
            if value not in shown:
                shown[value] = escape(format_date(local_day(value), pattern))
            return shown[value]

        return show


class StateColumn(TextColumn):
    """A word with its tone. `tones` maps values to tones, or names the record's own: good, mind, broken, quiet."""

    def __init__(self, *args: Any, tones: Mapping[Any, str] | str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.tones = tones

    def html(self, table: "LedgerTable") -> Show:
        word, tones = self.text(table), self.tones
        if isinstance(tones, str):
            own_tone = reader(Accessor(tones), None)
            return lambda value, record: _state(own_tone(record), word(value, record))
        return lambda value, record: _state(tones.get(value, "quiet"), word(value, record))


def _state(tone: str, word: str) -> str:
    return f'<span class="state state-{escape(tone)}">{escape(word)}</span>'


def local_day(value: date) -> date:
    """The day of a date, or of an instant in the current time zone."""
    if isinstance(value, datetime):
        return (localtime(value) if is_aware(value) else value).date()
    return value
