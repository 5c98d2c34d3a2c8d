"""A list saved as a file holds every page of it, in the order and with the filters of the address."""

from datetime import UTC, date, datetime
from io import BytesIO

import pytest
from django.test import RequestFactory
from openpyxl import load_workbook

from apiary_ops.core.tables import (
    DateColumn,
    LedgerTable,
    MoneyColumn,
    NumberColumn,
    TextColumn,
    export_links,
    table_file,
    table_for,
    wants_file,
)
from apiary_ops.kernel.money import Money


class Hives(LedgerTable):
    name = TextColumn(verbose_name="Name")
    frames = NumberColumn(verbose_name="Frames")


class Bills(LedgerTable):
    number = TextColumn(verbose_name="Number")
    billed_on = DateColumn(verbose_name="Billed on")
    cents = MoneyColumn(verbose_name="Amount")
    honey = NumberColumn(verbose_name="Honey", unit="kg", decimals=1)


def rows(count):
    return [{"name": f"Hive {number}", "frames": number} for number in range(1, count + 1)]


def saved(table_class, records, address="/?export=csv", **kwargs):
    request = RequestFactory().get(address)
    return table_file(request, table_for(request, table_class, records, **kwargs), "hives")


def sheet_of(response):
    return load_workbook(BytesIO(response.content)).active


def cells_of(response):
    return [list(row) for row in sheet_of(response).iter_rows(values_only=True)]


# --- CSV.


def test_the_file_holds_every_page_in_the_order_of_the_address():
    response = saved(Hives, rows(3), "/hives/?sort=-frames&export=csv", per_page=2)

    assert response.content.decode() == "\ufeffName,Frames\r\nHive 3,3\r\nHive 2,2\r\nHive 1,1\r\n"
    assert response["Content-Type"] == "text/csv; charset=utf-8"
    assert response["Content-Disposition"] == 'attachment; filename="hives.csv"'


def test_a_cell_that_would_run_as_a_formula_is_made_harmless():
    response = saved(Hives, [{"name": "=1+1, a", "frames": 2}])

    assert '"\'=1+1, a",2\r\n' in response.content.decode()


# --- Spreadsheets.


def test_the_spreadsheet_holds_every_page_in_the_order_of_the_address():
    response = saved(Hives, rows(3), "/hives/?sort=-frames&export=xlsx", per_page=2)

    assert cells_of(response) == [["Name", "Frames"], ["Hive 3", 3], ["Hive 2", 2], ["Hive 1", 1]]
    assert response["Content-Type"] == "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
    assert response["Content-Disposition"] == 'attachment; filename="hives.xlsx"'


def test_numbers_money_and_days_are_cells_to_reckon_with():
    bill = {"number": "0042", "billed_on": date(2027, 5, 12), "cents": -123450, "honey": 7}

    sheet = sheet_of(saved(Bills, [bill], "/?export=xlsx", currency="CAD"))

    assert [cell.value for cell in sheet[1]] == ["Number", "Billed on", "Amount (CAD)", "Honey (kg)"]
    assert [cell.value for cell in sheet[2]] == ["0042", datetime(2027, 5, 12), -1234.5, 7]  # noqa: DTZ001 - as it is read
    assert [cell.number_format for cell in sheet[2]] == ["General", "yyyy-mm-dd", "#,##0.00", "#,##0.0"]


def test_an_amount_in_another_currency_keeps_its_name_and_is_text():
    bill = {"number": "7", "billed_on": None, "cents": Money(500, "USD"), "honey": None}

    response = saved(Bills, [bill], "/?export=xlsx", currency="CAD")

    assert cells_of(response)[1] == ["7", None, "5.00\N{NO-BREAK SPACE}USD", None]


def test_an_instant_is_saved_as_its_local_day():
    bill = {"number": "7", "billed_on": datetime(2027, 5, 12, 12, tzinfo=UTC), "cents": 100, "honey": 1}

    assert cells_of(saved(Bills, [bill], "/?export=xlsx"))[1][1].date() == date(2027, 5, 12)


@pytest.mark.parametrize("name", ["=1+1", "+1 now", "-x", "@SUM(A1)", "=", "\ttab"])
def test_text_that_looks_like_a_formula_stays_text_as_it_was_typed(name):
    cell = sheet_of(saved(Hives, [{"name": name, "frames": 2}], "/?export=xlsx"))["A2"]

    assert (cell.value, cell.data_type, cell.quotePrefix) == (name, "s", True)


def test_control_characters_are_left_out_and_hide_no_formula():
    cell = sheet_of(saved(Hives, [{"name": "\0\x01=1+1", "frames": 2}], "/?export=xlsx"))["A2"]

    assert (cell.value, cell.data_type, cell.quotePrefix) == ("=1+1", "s", True)


def test_an_empty_list_is_saved_with_its_heads():
    assert cells_of(saved(Hives, [], "/?export=xlsx")) == [["Name", "Frames"]]


def test_the_heads_stay_in_sight():
    sheet = sheet_of(saved(Hives, rows(1), "/?export=xlsx"))

    assert sheet.freeze_panes == "A2"
    assert sheet["A1"].font.bold is True
    assert sheet.title == "hives"


# --- Links.


def test_the_links_keep_filters_and_order_but_not_the_page():
    request = RequestFactory().get("/hives/?q=a%26b&sort=-frames&page=4")

    links = export_links(request)

    assert links == [
        {"label": "Save as CSV", "url": "?q=a%26b&sort=-frames&export=csv"},
        {"label": "Save as spreadsheet", "url": "?q=a%26b&sort=-frames&export=xlsx"},
    ]
    assert wants_file(request) is False
    assert all(wants_file(RequestFactory().get("/hives/" + link["url"])) for link in links)


def test_a_page_of_several_lists_says_which_one_is_saved():
    request = RequestFactory().get("/queens/?list=orders")

    assert [link["url"] for link in export_links(request, list="lots")] == [
        "?list=lots&export=csv",
        "?list=lots&export=xlsx",
    ]


def test_a_kind_of_file_nobody_offers_gives_the_page():
    assert wants_file(RequestFactory().get("/hives/?export=exe")) is False
