"""A table of orders, and readers of what it draws, for the tests of tables."""

from dataclasses import dataclass
from datetime import date
from html.parser import HTMLParser

from django.http import HttpResponse
from django.test import RequestFactory
from django.urls import path, register_converter

from apiary_ops.core import tables
from apiary_ops.kernel.money import Money


def nothing(request, **kwargs):
    return HttpResponse()


class FourDigits:
    """Writes 7 as 0007."""

    regex = "[0-9]+"

    def to_python(self, text):
        return int(text)

    def to_url(self, number):
        return f"{number:04d}"


register_converter(FourDigits, "four_digits")

urlpatterns = [
    path("orders/<str:number>/terms/", nothing, name="order"),
    path("nucs/<int:number>/", nothing, name="nuc"),
    path("boxes/<four_digits:number>/", nothing, name="box"),
]


@dataclass(frozen=True)
class Order:
    number: str = "2027-0001"
    buyer: str | None = "Ada Fell"
    nucs: int | None = 4
    balance: int | Money | None = 123450
    wanted_on: date | None = date(2027, 5, 12)
    state: str = "promised"
    late: bool = False


class Orders(tables.LedgerTable):
    caption = "Orders of the season"

    number = tables.LinkColumn("Order", url_name="order", key="number")
    buyer = tables.TextColumn("Buyer")
    nucs = tables.NumberColumn("Nucs")
    balance = tables.MoneyColumn("Balance")
    wanted_on = tables.DateColumn("Wanted on")
    state = tables.StateColumn("State", tones={"promised": "good", "lapsed": "broken"}, orderable=False)

    def row_tone(self, record):
        return "mind" if record.late else ""


class Cells(HTMLParser):
    """The text of each row's cells, and the attributes of every tag met."""

    def __init__(self, html):
        super().__init__()
        self.rows, self.tags = [], []
        self.feed(html)

    def handle_starttag(self, tag, attrs):
        self.tags.append((tag, dict(attrs)))
        if tag == "tr":
            self.rows.append([])
        if tag in ("td", "th"):
            self.rows[-1].append("")

    def handle_data(self, data):
        if self.rows and self.rows[-1] and data.strip():
            self.rows[-1][-1] += data


def page(query="", rows=(), table_class=Orders, **kwargs):
    return tables.table_for(RequestFactory().get(f"/orders/{query}"), table_class, rows, **kwargs)


def shown(table):
    return Cells(table.body).rows


def orders(*numbers):
    return [Order(number=number) for number in numbers]


def numbers_shown(table):
    return [row[0] for row in shown(table)]
