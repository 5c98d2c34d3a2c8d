"""Rows of a table, written at once: each column becomes one function, each row one pattern filled by them."""

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Any

from django.utils.html import conditional_escape, escape
from django.utils.translation import gettext as _
from django_tables2 import Column
from django_tables2.columns import BoundColumn
from django_tables2.utils import AttributeDict

from apiary_ops.core.tables.cells import Show, adapted, address, plain_text, reader
from apiary_ops.core.tables.columns import LedgerColumn

if TYPE_CHECKING:
    from apiary_ops.core.tables import LedgerTable

Cell = Callable[[Any], str]  # a record to the content of one cell


def write(table: "LedgerTable", records: Sequence[Any]) -> str:
    """The HTML of `records`, everything in it escaped; an empty string for none."""
    if not records:
        return ""
    cells = [html_cell(table, column, records[0]) for column in table.columns]
    pattern, row_tone = f"<tr%s>{_pattern(table)}</tr>\n", table.row_tone
    return "".join([pattern % (_tone(row_tone(record)), *[cell(record) for cell in cells]) for record in records])


def write_totals(table: "LedgerTable") -> str:
    """The footer row; its first cell says what it is unless that column has a total itself."""
    contents = [_total(table, column) for column in table.columns]
    contents[0] = contents[0] or conditional_escape(_("Total"))
    return f'<tr class="total">{_pattern(table) % tuple(contents)}</tr>'


def _total(table: "LedgerTable", bound: BoundColumn) -> str:
    value = table.totals.get(bound.name, bound.footer)
    if value is None or value == "":
        return ""
    if isinstance(value, str) or not isinstance(bound.column, LedgerColumn):
        return conditional_escape(value)
    return bound.column.html(table)(value, None)


def html_cell(table: "LedgerTable", bound: BoundColumn, sample: Any) -> Cell:
    """A function from a record to the HTML of its cell in one column."""
    fixed = _fixed(table, bound)
    show = bound.column.html(table) if _is_lean(bound) else _rendered(bound, fixed)
    blank = conditional_escape(bound.default)
    if bound.link is None:
        return _cell(bound, sample, show, blank)
    url = address(bound.link, sample, **fixed)

    def linked(value: Any, record: Any) -> str:
        href = url(value, record)
        content = show(value, record)
        return f'<a href="{href}">{content}</a>' if href else content

    return _cell(bound, sample, linked, blank)


def text_cell(table: "LedgerTable", bound: BoundColumn, sample: Any) -> Cell:
    """A function from a record to its plain text: by `value_<column>`, `render_<column>`, or the column itself."""
    written = getattr(table, f"value_{bound.name}", None)
    if written is None and _is_lean(bound):
        return _cell(bound, sample, bound.column.text(table), plain_text(bound.default))
    render = adapted(written or bound.render, **_fixed(table, bound))
    return _cell(bound, sample, lambda value, record: plain_text(render(value, record)), plain_text(bound.default))


def value_of(bound: BoundColumn) -> Callable[[str], Any]:
    """A function from the plain text of a cell to what a spreadsheet reckons with, by the kind of its column."""
    return bound.column.value if isinstance(bound.column, LedgerColumn) else str


def _cell(bound: BoundColumn, sample: Any, show: Show, blank: str) -> Cell:
    """The value of a record through `show`; where it is empty, `blank`."""
    empty_values = bound.column.empty_values
    read = reader(bound.accessor, sample, quiet=not empty_values)

    def cell(record: Any) -> str:
        value = read(record)
        return blank if value in empty_values else show(value, record)

    return cell


def _rendered(bound: BoundColumn, fixed: dict[str, Any]) -> Show:
    render = adapted(bound.render, **fixed)
    return lambda value, record: conditional_escape(render(value, record))


def _is_lean(bound: BoundColumn) -> bool:
    """Whether a column writes its own cells, with no render method declared over it."""
    return isinstance(bound.column, LedgerColumn) and getattr(bound.render, "__func__", None) is Column.render


def _fixed(table: "LedgerTable", bound: BoundColumn) -> dict[str, Any]:
    return {"column": bound.column, "bound_column": bound, "table": table}


def _pattern(table: "LedgerTable") -> str:
    """The cells of a row with %s for each content; the first cell is the row's head."""
    first, *others = list(table.columns)
    cells = [f'<th scope="row"{_attributes(first)}>%s</th>']
    for column in others:
        words = escape(label(column, table)).replace("%", "%%")
        cells.append(f'<td{_attributes(column)} data-label="{words}">%s</td>')
    return "".join(cells)


def _attributes(bound: BoundColumn) -> str:
    """The fixed attributes of a column's cells, safe inside a % pattern."""
    declared = bound.column.attrs.get("td", bound.column.attrs.get("cell", {}))
    html = AttributeDict({**declared, "class": css_class(bound, "td") or None}).as_html()
    return f" {html}".replace("%", "%%") if html else ""


def label(bound: BoundColumn, table: "LedgerTable") -> str:
    """The head of a column in one line: "Honey (kg)"."""
    measured_in = unit(bound, table)
    return f"{bound.header} ({measured_in})" if measured_in else str(bound.header)


def unit(bound: BoundColumn, table: "LedgerTable") -> str:
    return str(bound.column.unit(table)) if isinstance(bound.column, LedgerColumn) else ""


def css_class(bound: BoundColumn, tag: str) -> str:
    declared = bound.column.attrs.get(tag, bound.column.attrs.get("cell", {})).get("class", "")
    return f"{getattr(bound.column, 'css_class', '')} {declared}".strip()


def _tone(tone: str) -> str:
    return f' class="tone-{escape(tone)}"' if tone else ""
