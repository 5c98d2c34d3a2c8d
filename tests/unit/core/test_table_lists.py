"""A table as a list: its order, heads, pages, totals and export, on plain rows and unread queries."""

from dataclasses import replace

import pytest
from django.contrib.admin.models import LogEntry
from django.template.loader import render_to_string
from django.utils.html import format_html

from apiary_ops.core import tables
from apiary_ops.kernel.money import Money
from tests.unit.core.orders_table import Cells, Order, numbers_shown, orders, page, shown

pytestmark = pytest.mark.urls("tests.unit.core.orders_table")


# --- Order.


@pytest.mark.parametrize(("sort", "expected"), [("nucs", ["b", "c", "a", "d"]), ("-nucs", ["a", "c", "b", "d"])])
def test_rows_without_a_value_come_last_whichever_way_they_are_sorted(sort, expected):
    rows = [Order("a", nucs=30), Order("d", nucs=None), Order("b", nucs=-2), Order("c", nucs=0)]

    assert numbers_shown(page(f"?sort={sort}", rows)) == expected


@pytest.mark.parametrize("sort", ["buyer", "-buyer"])
def test_equal_rows_keep_their_order_and_names_sort_without_regard_to_case(sort):
    rows = [Order("1", buyer="bert"), Order("2", buyer="Bert"), Order("3", buyer="BERT")]

    assert numbers_shown(page(f"?sort={sort}", rows)) == ["1", "2", "3"]


@pytest.mark.parametrize("sort", ["", "nonsense", "-", "--nucs", "state", "nucs,buyer", "nucs%00"])
def test_an_order_that_is_not_on_offer_changes_nothing(sort):
    rows = [Order("b", nucs=2), Order("a", nucs=1)]

    assert numbers_shown(page(f"?sort={sort}", rows)) == ["b", "a"]


def test_a_column_kept_from_the_reader_cannot_be_sorted_by():
    rows = [Order("b", balance=2), Order("a", balance=1)]

    assert numbers_shown(page("?sort=balance", rows, exclude=("balance",))) == ["b", "a"]


def test_amounts_in_several_currencies_and_values_of_several_kinds_still_sort():
    money = [
        Order("c", balance=Money(1, "EUR")),
        Order("b", balance=Money(9, "CAD")),
        Order("a", balance=Money(5, "CAD")),
    ]
    mixed = [Order("t", buyer="two"), Order("o", buyer=1)]

    assert numbers_shown(page("?sort=balance", money)) == ["a", "b", "c"]
    assert numbers_shown(page("?sort=buyer", mixed)) == ["o", "t"]


def test_a_column_may_sort_by_other_fields_and_the_callers_rows_stay_as_they_were():
    class ByNucs(tables.LedgerTable):
        number = tables.TextColumn(order_by=("-nucs", "buyer"))

    rows = [Order("a", "Bo", 1), Order("b", "Bo", 2), Order("c", "Al", 2)]

    assert numbers_shown(page("?sort=number", rows, ByNucs)) == ["c", "b", "a"]
    assert numbers_shown(page("?sort=-number", rows, ByNucs)) == ["a", "b", "c"]
    assert [row.number for row in rows] == ["a", "b", "c"]


class Entries(tables.LedgerTable):
    action_time = tables.DateColumn()
    object_id = tables.TextColumn()


def ordering_of(query, rows):
    return page(query, rows, Entries, per_page=None).data.data.query.order_by


def test_a_query_is_sorted_with_its_ties_broken_by_key():
    rows = LogEntry.objects.all()

    assert ordering_of("?sort=action_time", rows) == ("action_time", "pk")
    assert ordering_of("?sort=-action_time", rows) == ("-action_time", "-pk")
    assert ordering_of("", rows.order_by("action_time")) == ("action_time", "pk")
    assert ordering_of("", rows.order_by("user", "-id")) == ("user", "-id")


def test_a_query_puts_nulls_last_where_there_can_be_any():
    by_object, tie = ordering_of("?sort=-object_id", LogEntry.objects.all())

    assert (by_object.descending, by_object.nulls_last, tie) == (True, True, "-pk")


def test_groups_of_a_query_are_not_split_by_the_key():
    groups = LogEntry.objects.order_by("object_id").values("object_id", "action_time")

    assert ordering_of("", groups) == ("object_id",)
    assert ordering_of("?sort=action_time", groups) == ("action_time", "object_id")


# --- Heads.


def test_heads_say_how_the_table_is_sorted_and_turn_it_round():
    heads = page("?q=ada&sort=nucs&page=3&tag=1&tag=2", orders("a")).headings

    assert [(head["label"], head["aria_sort"]) for head in heads if head["aria_sort"]] == [("Nucs", "ascending")]
    assert [head["url"] for head in heads[:3]] == [
        "?q=ada&tag=1&tag=2&sort=number",
        "?q=ada&tag=1&tag=2&sort=buyer",
        "?q=ada&tag=1&tag=2&sort=-nucs",
    ]
    assert heads[5]["url"] == ""
    assert page("?sort=-nucs", orders("a")).headings[2]["aria_sort"] == "descending"


def test_the_page_carries_heads_with_their_scope_class_and_order():
    table = page("?sort=-balance&q=%22%3E", orders("a"), currency="CAD")
    html = render_to_string("components/_table.html", {"table": table})

    tags = Cells(html).tags
    assert ("th", {"scope": "col", "class": "number", "aria-sort": "descending"}) in tags
    assert ("a", {"class": "sort", "href": "?q=%22%3E&sort=balance"}) in tags
    assert ("table", {"class": "ledger ledger-stacks"}) in tags
    assert Cells(html).rows[0][3].split() == ["Balance", "(CAD)"]


def test_two_tables_on_one_page_are_sorted_and_paged_apart():
    rows = orders("a", "b", "c")

    first = page("?one-sort=-number&two-page=2", rows, prefix="one-", per_page=2)
    second = page("?one-sort=-number&two-page=2", rows, prefix="two-", per_page=2)

    assert numbers_shown(first) == ["c", "b"]
    assert numbers_shown(second) == ["c"]
    assert second.headings[0]["url"] == "?one-sort=-number&two-sort=number"


# --- Pages.


@pytest.mark.parametrize(
    ("asked", "given"),
    [
        ("2", 2),
        ("", 1),
        ("x", 1),
        ("0", 1),
        ("-3", 1),
        ("1e3", 1),
        ("99", 3),
        ("9" * 30, 3),
        ("9" * 9000, 1),
        ("%00", 1),
    ],
)
def test_a_bad_page_is_brought_into_range(asked, given):
    table = page(f"?page={asked}", orders("a", "b", "c", "d", "e"), per_page=2)

    assert table.page.number == given
    assert len(shown(table)) == (1 if given == 3 else 2)


def test_pages_keep_the_other_parameters_and_leave_gaps():
    table = page("?sort=number&page=10&q=x", orders(*(f"{n:04d}" for n in range(1234))))

    pagination = table.pagination
    assert pagination["summary"] == "451–500 of 1,234"
    assert [link["label"] for link in pagination["links"]] == ["1", "…", "8", "9", "10", "11", "12", "…", "25"]
    assert pagination["links"][0] == {
        "label": "1",
        "url": "?sort=number&q=x&page=1",
        "is_current": False,
        "disabled": False,
    }
    assert pagination["links"][1] == {"label": "…", "url": "", "is_current": False, "disabled": True}
    assert [link["label"] for link in pagination["links"] if link["is_current"]] == ["10"]
    assert (pagination["previous_url"], pagination["next_url"]) == (
        "?sort=number&q=x&page=9",
        "?sort=number&q=x&page=11",
    )


def test_one_page_needs_no_links_and_the_first_has_none_before_it():
    one, first = page(rows=orders("a")), page(rows=orders("a", "b"), per_page=1)

    assert one.pagination == {"summary": "1–1 of 1", "links": [], "previous_url": "", "next_url": ""}
    assert (first.pagination["previous_url"], first.pagination["next_url"]) == ("", "?page=2")


def test_the_drawn_page_links_to_its_neighbours():
    table = page("?page=2", orders("a", "b", "c"), per_page=1)
    html = render_to_string("components/_table.html", {"table": table})

    addresses = [attrs["href"] for tag, attrs in Cells(html).tags if tag == "a"]
    assert "?page=1" in addresses
    assert "?page=3" in addresses


# --- Totals.


def test_the_total_row_is_written_like_its_columns_and_counts_every_page():
    table = page(rows=orders("a", "b", "c"), per_page=2, totals={"balance": -370350, "nucs": 1200})

    assert Cells(table.total_row).rows == [["Total", "", "1,200", "−3,703.50", "", ""]]
    assert table.total_row.startswith('<tr class="total"><th scope="row">Total</th>')
    assert f"<tfoot>{table.total_row}</tfoot>" in render_to_string("components/_table.html", {"table": table})


def test_a_column_may_declare_its_own_footer():
    class Footed(tables.LedgerTable):
        number = tables.TextColumn(footer="<all>")
        nucs = tables.NumberColumn(footer=lambda table: sum(row.nucs for row in table.data))

    table = page(rows=orders("a", "b"), table_class=Footed, per_page=1)

    assert table.total_row == (
        '<tr class="total"><th scope="row">&lt;all&gt;</th><td class="number" data-label="Nucs">8</td></tr>'
    )


def test_without_totals_there_is_no_footer():
    assert page(rows=orders("a")).total_row == ""


# --- The same as text.


def test_an_export_holds_what_is_on_screen_in_machine_form():
    rows = [Order(nucs=1234, balance=-123450), replace(Order(), number="2027-0002", buyer=None, wanted_on=None)]

    text = list(page("?sort=-number", rows, per_page=1, currency="CAD", exclude=("state",)).rows_as_text())

    assert text == [
        ["Order", "Buyer", "Nucs", "Balance (CAD)", "Wanted on"],
        ["2027-0002", "", "4", "1234.50", ""],
    ]


def test_an_export_of_every_page_keeps_the_order():
    rows = [Order("a", nucs=1), Order("b", nucs=1234, balance=-123450)]

    text = list(page("?sort=-nucs", rows, per_page=1).rows_as_text(every_page=True))

    assert text[1:] == [
        ["b", "Ada Fell", "1234", "-1234.50", "2027-05-12", "promised"],
        ["a", "Ada Fell", "1", "1234.50", "2027-05-12", "promised"],
    ]


def test_an_export_drops_markup_and_prefers_the_value_method():
    class Rendered(tables.LedgerTable):
        number = tables.TextColumn()
        buyer = tables.TextColumn()

        def render_number(self, value):
            return format_html("<b>{}</b>", value)

        def render_buyer(self, value):
            return format_html("<b>{}</b>", value)

        def value_buyer(self, record):
            return f"{record.buyer}, {record.nucs}"

    text = list(page(rows=[Order(number="R&D <1>")], table_class=Rendered).rows_as_text())

    assert text[1] == ["R&D <1>", "Ada Fell, 4"]


@pytest.mark.parametrize(
    ("cell", "guarded"),
    [
        ("=1+1", "'=1+1"),
        ("+49 30 123", "'+49 30 123"),
        ("-2+3", "'-2+3"),
        ("@SUM(A1)", "'@SUM(A1)"),
        ("\t=1", "'\t=1"),
        ("\0=1", "'\0=1"),
        ("-12.50", "-12.50"),
        ("-7", "-7"),
        ("-7\n", "'-7\n"),
        ("a=b", "a=b"),
        ("", ""),
    ],
)
def test_a_cell_that_a_spreadsheet_would_run_is_quoted(cell, guarded):
    """OWASP ASVS 5.0.0, 1.2.10."""
    assert tables.spreadsheet_safe(cell) == guarded


def test_names_and_heads_are_guarded_in_an_export():
    class Heads(tables.LedgerTable):
        buyer = tables.TextColumn("=Buyer")

    assert list(page(rows=[Order(buyer="=cmd()")], table_class=Heads).rows_as_text()) == [["'=Buyer"], ["'=cmd()"]]
