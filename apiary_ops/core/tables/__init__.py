"""Tables: django-tables2 declares columns, order and pages; the rows are written by a lean path of our own.

The library spends about a millisecond on a row. A `LedgerTable` turns each column into one function per page and
joins strings, so a page of fifty rows costs no more than a template written by hand (tests/bench/bench_tables.py).
"""

from collections.abc import Iterable, Iterator, Mapping
from typing import Any
from urllib.parse import urlencode

from django.core.paginator import Paginator
from django.db.models import QuerySet
from django.http import HttpRequest
from django.utils.formats import number_format
from django.utils.html import conditional_escape
from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import gettext as _
from django_tables2 import Table
from django_tables2.columns import BoundColumn

from apiary_ops.core.tables import rows
from apiary_ops.core.tables.columns import (
    DateColumn,
    LedgerColumn,
    LinkColumn,
    MoneyColumn,
    NumberColumn,
    StateColumn,
    TextColumn,
)
from apiary_ops.core.tables.exports import export_links, table_file, wants_file
from apiary_ops.core.tables.order import table_data
from apiary_ops.kernel.formulas import spreadsheet_safe

__all__ = [
    "DateColumn",
    "LedgerColumn",
    "LedgerTable",
    "LinkColumn",
    "MoneyColumn",
    "NumberColumn",
    "StateColumn",
    "TextColumn",
    "export_links",
    "spreadsheet_safe",
    "table_file",
    "table_for",
    "wants_file",
]


class LedgerTable(Table):
    """A table drawn by components/_table.html.

    A subclass may set `caption`, `empty_text`, `stacks` (False keeps rows and columns on a phone), `render_<column>`
    and `value_<column>` taking any of value and record, and `row_tone(record)`. `totals` maps column names to values
    of all rows, not only of the page shown. `currency` is the code that money columns name in their heads.
    """

    caption = ""
    empty_text: Any = None
    stacks = True
    page: Any  # set by show_page()

    def __init__(
        self,
        records: QuerySet[Any] | Iterable[Any],
        *,
        request: HttpRequest | None = None,
        caption: str | None = None,
        totals: Mapping[str, Any] | None = None,
        currency: str = "",
        **kwargs: Any,
    ) -> None:
        self.totals = dict(totals or {})
        self.currency = currency
        if caption is not None:
            self.caption = caption
        kwargs.setdefault("default", "")
        kwargs.setdefault("empty_text", self.empty_text)
        kwargs.setdefault("template_name", "components/_table.html")
        super().__init__(table_data(records), **kwargs)
        self.request = request

    def row_tone(self, record: Any) -> str:
        """The tone of a whole row ("mind", "broken", ...); the row still says in words what it means."""
        return ""

    # --- Order and pages.

    def sort_by(self, alias: str) -> None:
        """Sort by `alias` ("name" or "-name") if that column is shown and may be sorted; otherwise change nothing."""
        name = alias.removeprefix("-")
        if any(column.name == name and column.orderable for column in self.columns):
            self.order_by = alias

    def show_page(self, number: str | int, per_page: int) -> None:
        """Show one page; below the first is the first, beyond the last is the last, and no number is the first."""
        try:
            wanted = int(number)
        except ValueError:
            wanted = 1
        self.paginator = Paginator(self.rows, per_page)
        self.page = self.paginator.page(max(1, min(wanted, self.paginator.num_pages)))

    @property
    def records(self) -> list[Any]:
        """The records on screen."""
        return list(self.page.object_list.data if hasattr(self, "page") else self.data)

    @property
    def pagination(self) -> dict[str, Any] | None:
        """What components/_pagination.html shows: a summary, and links where there is more than one page.

        A gap between page numbers is a link without address, marked as disabled.
        """
        if not hasattr(self, "page") or not self.paginator.count:
            return None
        numbers = [self.page.start_index(), self.page.end_index(), self.paginator.count]
        first, last, count = (number_format(number, force_grouping=True) for number in numbers)
        page, many = self.page, self.paginator.num_pages > 1
        return {
            "summary": _("%(first)s–%(last)s of %(count)s") % {"first": first, "last": last, "count": count},
            "links": [self._page_link(number) for number in self._page_numbers()] if many else [],
            "previous_url": self._page_url(page.number - 1) if page.has_previous() else "",
            "next_url": self._page_url(page.number + 1) if page.has_next() else "",
        }

    def _page_numbers(self) -> Iterator[int | str]:
        return self.paginator.get_elided_page_range(self.page.number, on_each_side=2, on_ends=1)

    def _page_link(self, number: int | str) -> dict[str, Any]:
        url = self._page_url(number) if isinstance(number, int) else ""
        return {"label": str(number), "url": url, "is_current": number == self.page.number, "disabled": not url}

    def _page_url(self, number: int) -> str:
        return self._url(self.prefixed_page_field, str(number))

    def _url(self, field: str, value: str) -> str:
        """The address of this list with one parameter changed; a new order starts at the first page."""
        replaced = {field, self.prefixed_page_field}
        kept = self.request.GET.lists() if self.request else ()
        pairs = [(name, one) for name, values in kept if name not in replaced for one in values]
        return f"?{urlencode([*pairs, (field, value)])}"

    # --- What the template shows.

    @property
    def headings(self) -> list[dict[str, str]]:
        return [self._heading(column) for column in self.columns]

    def _heading(self, column: BoundColumn) -> dict[str, str]:
        alias = column.order_by_alias
        direction = ("descending" if alias.is_descending else "ascending") if column.is_ordered else ""
        return {
            "label": column.header,
            "unit": rows.unit(column, self),
            "css_class": rows.css_class(column, "th"),
            "aria_sort": direction,
            "url": self._url(self.prefixed_order_by_field, alias.next) if column.orderable else "",
        }

    @property
    def body(self) -> SafeString:
        """The rows, or one row with the empty text."""
        return mark_safe(rows.write(self, self.records) or self._empty_row())

    def _empty_row(self) -> str:
        words = conditional_escape(self.empty_text or _("Nothing here yet."))
        return f'<tr><td class="empty-row" colspan="{len(self.columns)}">{words}</td></tr>'

    @property
    def total_row(self) -> SafeString | str:
        """The footer: `totals` or a column's declared footer, written as the column writes its values."""
        return mark_safe(rows.write_totals(self)) if self.totals or self.has_footer() else ""

    # --- The same as text.

    def rows_as_text(self, *, every_page: bool = False) -> Iterator[list[str]]:
        """The heads, then the rows on screen (or of every page, in the same order) as guarded plain text.

        Columns are those shown. Numbers and days are written for machines: 1234.50, 2027-05-12.
        """
        yield [spreadsheet_safe(rows.label(column, self)) for column in self._exported]
        for texts in self._texts(every_page):
            yield [spreadsheet_safe(text) for text in texts]

    def rows_as_values(self, *, every_page: bool = False) -> Iterator[list[Any]]:
        """The same heads and rows, each cell a Decimal, a date, or text as it is, unguarded."""
        kinds = [rows.value_of(column) for column in self._exported]
        yield [rows.label(column, self) for column in self._exported]
        for texts in self._texts(every_page):
            yield [value(text) for value, text in zip(kinds, texts, strict=True)]

    @property
    def _exported(self) -> list[BoundColumn]:
        return [column for column in self.columns if not column.column.exclude_from_export]

    def _texts(self, every_page: bool) -> Iterator[list[str]]:
        columns, texts = self._exported, list[rows.Cell]()
        for record in self._every_record() if every_page else self.records:
            texts = texts or [rows.text_cell(self, column, record) for column in columns]
            yield [text(record) for text in texts]

    def _every_record(self) -> Iterable[Any]:
        records = self.data.data
        return records.iterator(chunk_size=1000) if isinstance(records, QuerySet) else records


def table_for(
    request: HttpRequest,
    table_class: type[LedgerTable],
    records: QuerySet[Any] | Iterable[Any],
    *,
    per_page: int | None = 50,
    **kwargs: Any,
) -> LedgerTable:
    """The table as the address asks: `?sort=name` or `-name`, and `?page=2`, each with the table's `prefix` before it.

    An unknown column is ignored and a bad page is brought into range. `per_page=None` shows all rows.
    Further keywords go to the table: prefix, totals, caption, currency, exclude, empty_text...
    """
    table = table_class(records, request=request, **kwargs)
    table.sort_by(request.GET.get(table.prefixed_order_by_field, ""))
    if per_page:
        table.show_page(request.GET.get(table.prefixed_page_field, "1"), per_page)
    return table
