"""A list saved as a file holds every page of it, in the order and with the filters of the address."""

from django.test import RequestFactory

from apiary_ops.core.tables import LedgerTable, NumberColumn, TextColumn, csv_file, export_links, table_for, wants_csv


class Hives(LedgerTable):
    name = TextColumn(verbose_name="Name")
    frames = NumberColumn(verbose_name="Frames")


def rows(count):
    return [{"name": f"Hive {number}", "frames": number} for number in range(1, count + 1)]


def test_the_file_holds_every_page_in_the_order_of_the_address():
    request = RequestFactory().get("/hives/?sort=-frames")

    response = csv_file(table_for(request, Hives, rows(3), per_page=2), "hives")

    assert response.content.decode() == "\ufeffName,Frames\r\nHive 3,3\r\nHive 2,2\r\nHive 1,1\r\n"
    assert response["Content-Type"] == "text/csv; charset=utf-8"
    assert response["Content-Disposition"] == 'attachment; filename="hives.csv"'


def test_a_cell_that_would_run_as_a_formula_is_made_harmless():
    request = RequestFactory().get("/hives/")

    response = csv_file(table_for(request, Hives, [{"name": "=1+1, a", "frames": 2}]), "hives")

    assert '"\'=1+1, a",2\r\n' in response.content.decode()


def test_the_link_keeps_filters_and_order_but_not_the_page():
    request = RequestFactory().get("/hives/?q=a%26b&sort=-frames&page=4")

    links = export_links(request)

    assert links == [{"label": "Save as CSV", "url": "?q=a%26b&sort=-frames&export=csv"}]
    assert wants_csv(request) is False
    assert wants_csv(RequestFactory().get("/hives/" + links[0]["url"])) is True
