"""What a table's rows say and where they lead, on plain rows without a page or a database around them."""

from datetime import UTC, datetime
from decimal import Decimal

import pytest
from django.contrib.admin.models import ADDITION, LogEntry
from django.template.loader import render_to_string
from django.urls import NoReverseMatch, reverse
from django.utils import timezone
from django.utils.html import format_html
from django_tables2 import A

from apiary_ops.core import tables
from apiary_ops.kernel.money import Money
from tests.unit.core.orders_table import Cells, Order, orders, page, shown

pytestmark = pytest.mark.urls("tests.unit.core.orders_table")


# --- What a row says.


def test_a_row_is_written_as_people_read_it():
    table = page(rows=[Order(nucs=1234, balance=-123456)])

    assert shown(table) == [["2027-0001", "Ada Fell", "1,234", "−1,234.56", "Wed 12 May 2027", "promised"]]


def test_the_first_cell_heads_its_row_and_the_others_name_their_column_for_phones():
    table = page(rows=[Order(late=True)], currency="CAD")

    assert table.body == (
        '<tr class="tone-mind">'
        '<th scope="row"><a href="/orders/2027-0001/terms/">2027-0001</a></th>'
        '<td data-label="Buyer">Ada Fell</td>'
        '<td class="number" data-label="Nucs">4</td>'
        '<td class="number" data-label="Balance (CAD)">1,234.50</td>'
        '<td class="date" data-label="Wanted on">Wed 12 May 2027</td>'
        '<td data-label="State"><span class="state state-good">promised</span></td>'
        "</tr>\n"
    )


def test_markup_in_a_name_is_shown_as_text():
    table = page(rows=[Order(number="a<b", buyer="<script>alert('x')</script>", state='"><i>')])

    assert "&lt;script&gt;alert(&#x27;x&#x27;)&lt;/script&gt;" in table.body
    assert 'href="/orders/a%3Cb/terms/">a&lt;b</a>' in table.body
    assert '<span class="state state-quiet">&quot;&gt;&lt;i&gt;</span>' in table.body


def test_markup_from_a_render_method_is_escaped_unless_it_was_built_safely():
    class Rendered(tables.LedgerTable):
        number = tables.TextColumn()
        buyer = tables.TextColumn()

        def render_number(self, value):
            return f"<b>{value}</b>"

        def render_buyer(self, value, record):
            return format_html("<b>{}</b> {}", value, record.nucs)

    table = page(rows=[Order(number="7", buyer="<i>")], table_class=Rendered)

    assert "&lt;b&gt;7&lt;/b&gt;" in table.body
    assert "<b>&lt;i&gt;</b> 4" in table.body


def test_heads_and_captions_are_escaped_and_may_hold_a_percent_sign():
    class Loss(tables.LedgerTable):
        number = tables.TextColumn("A&B")
        nucs = tables.NumberColumn("Loss", unit="% <of> lot", attrs={"td": {"title": "100 %", "class": "firm"}})

    table = page(rows=[Order(number="100 %s")], table_class=Loss, caption="<Loss>")
    html = render_to_string("components/_table.html", {"table": table})

    assert '<td title="100 %" class="number firm" data-label="Loss (% &lt;of&gt; lot)">4</td>' in html
    assert ">100 %s</th>" in html
    assert "<caption>&lt;Loss&gt;</caption>" in html
    assert "A&amp;B" in html


def test_a_blank_value_leaves_an_empty_cell():
    table = page(rows=[Order(buyer=None, nucs=None, balance=None, wanted_on=None, state="")])

    assert shown(table) == [["2027-0001", "", "", "", "", ""]]
    assert 'data-label="Balance"></td>' in table.body


def test_zero_is_not_blank():
    assert shown(page(rows=[Order(nucs=0, balance=0)]))[0][2:4] == ["0", "0.00"]


@pytest.mark.parametrize(
    ("amount", "currency", "written"),
    [
        (5, "CAD", "0.05"),
        (-5, "", "−0.05"),
        (123456789, "", "1,234,567.89"),
        (1500, "JPY", "1,500"),
        (Money(-123450, "CAD"), "CAD", "−1,234.50"),
        (Money(123450, "EUR"), "CAD", "1,234.50\xa0EUR"),
        (Money(1500, "JPY"), "", "1,500\xa0JPY"),
    ],
)
def test_money_names_its_currency_where_the_head_does_not(amount, currency, written):
    assert shown(page(rows=[Order(balance=amount)], currency=currency))[0][3] == written


@pytest.mark.parametrize("cents", [0, 7, -7, 100, -123456789])
@pytest.mark.parametrize("currency", ["CAD", "JPY", "KWD"])
def test_money_in_a_table_reads_as_it_does_elsewhere(cents, currency):
    assert shown(page(rows=[Order(balance=cents)], currency=currency))[0][3] == Money(cents, currency).plain


def test_numbers_keep_the_places_they_were_given_or_were_declared_with():
    class Weights(tables.LedgerTable):
        number = tables.TextColumn()
        exact = tables.NumberColumn(accessor="nucs")
        fixed = tables.NumberColumn(accessor="nucs", decimals=1, unit="kg")

    rows = [Order(nucs=Decimal("-1234.50")), Order(nucs=Decimal("-0.04")), Order(nucs=2.5)]
    table = page(rows=rows, table_class=Weights)

    assert [row[1:] for row in shown(table)] == [["−1,234.50", "−1,234.5"], ["−0.04", "0.0"], ["2.5", "2.5"]]


def test_an_instant_shows_the_day_of_the_business_not_of_utc():
    late_evening = datetime(2027, 5, 13, 2, 30, tzinfo=UTC)

    with timezone.override("America/Toronto"):
        table = page(rows=[Order(wanted_on=late_evening)])

        assert shown(table)[0][4] == "Wed 12 May 2027"


def test_a_choice_shows_its_label_and_the_tone_may_come_from_the_record():
    class Entries(tables.LedgerTable):
        object_repr = tables.TextColumn()
        action_flag = tables.StateColumn(tones="object_id")

    table = page(rows=[LogEntry(object_repr="x", action_flag=ADDITION, object_id="good")], table_class=Entries)

    assert '<span class="state state-good">Addition</span>' in table.body
    assert list(table.rows_as_text())[1] == ["x", "Addition"]


def test_rows_may_be_dictionaries_and_reach_into_related_rows():
    class Deep(tables.LedgerTable):
        buyer = tables.TextColumn(accessor="order__buyer")
        letters = tables.NumberColumn(accessor="order__buyer__upper__len", empty_values=())

        def render_letters(self, record):
            return len(record["order"].buyer or "")

    rows = [{"order": Order()}, {"order": Order(buyer=None)}]

    assert shown(page(rows=rows, table_class=Deep)) == [["Ada Fell", "8"], ["", "0"]]


def test_a_column_that_finds_nothing_on_its_record_says_so():
    class Misspelt(tables.LedgerTable):
        number = tables.TextColumn(accessor="nubmer")

    with pytest.raises(ValueError, match="Failed lookup for key \\[nubmer\\]"):
        _ = page(rows=[Order()], table_class=Misspelt).body


def test_an_empty_table_says_what_is_missing():
    table = page(empty_text="No orders yet <take one>.")

    assert table.body == '<tr><td class="empty-row" colspan="6">No orders yet &lt;take one&gt;.</td></tr>'
    assert table.pagination is None


# --- Links.


@pytest.mark.parametrize(
    ("key", "address"),
    [
        ("2027-0042", "/orders/2027-0042/terms/"),
        ("Key-0_stand-in", "/orders/Key-0_stand-in/terms/"),
        ("a b&c", "/orders/a%20b&amp;c/terms/"),
        ("terms", "/orders/terms/terms/"),
        ("orders", "/orders/orders/terms/"),
    ],
)
def test_a_link_is_the_address_of_its_key_whatever_the_row_before_it_had(key, address):
    table = page(rows=orders("first", key))

    assert [attrs["href"] for tag, attrs in Cells(table.body).tags if tag == "a"][0] == "/orders/first/terms/"
    assert f'href="{address}"' in table.body


class Nucs(tables.LedgerTable):
    buyer = tables.TextColumn(linkify=("nuc", [A("nucs")]))


def test_whole_number_keys_are_linked_and_a_row_without_key_has_no_link():
    table = page(rows=[Order(nucs=1), Order(nucs=None), Order(nucs=90210)], table_class=Nucs)

    assert [attrs["href"] for tag, attrs in Cells(table.body).tags if tag == "a"] == ["/nucs/1/", "/nucs/90210/"]
    assert [row[0] for row in shown(table)] == ["Ada Fell"] * 3


def test_an_address_that_writes_its_key_in_a_way_of_its_own_is_kept():
    class Boxes(tables.LedgerTable):
        nucs = tables.NumberColumn(linkify=("box", [A("nucs")]))

    table = page(rows=[Order(nucs=7), Order(nucs=12345)], table_class=Boxes)

    assert [attrs["href"] for tag, attrs in Cells(table.body).tags if tag == "a"] == ["/boxes/0007/", "/boxes/12345/"]


def test_addresses_are_not_looked_up_row_by_row(monkeypatch):
    looked_up = []

    def counted(url_name, args):
        looked_up.append(args)
        return reverse(url_name, args=args)

    monkeypatch.setattr("apiary_ops.core.tables.cells.reverse", counted)
    table = page(rows=orders(*(f"2027-{n:04d}" for n in range(50))))

    assert 'href="/orders/2027-0049/terms/"' in table.body
    assert len(looked_up) == 2


@pytest.mark.parametrize("key", [-5, "x", "5/6"])
def test_a_key_the_address_cannot_hold_is_refused_not_linked_wrongly(key):
    table = page(rows=[Order(nucs=5), Order(nucs=key)], table_class=Nucs)

    with pytest.raises(NoReverseMatch):
        _ = table.body


def test_an_empty_table_says_its_own_words():
    class Waiting(tables.LedgerTable):
        empty_text = "Nobody waits."
        number = tables.TextColumn()

    assert ">Nobody waits.</td>" in page(rows=[], table_class=Waiting).body
    assert ">Nobody came.</td>" in page(rows=[], table_class=Waiting, empty_text="Nobody came.").body
