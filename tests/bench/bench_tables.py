"""How long a page of 50 rows and 10 columns takes: stock django-tables2, a LedgerTable, a template by hand.

Run as `python -m tests.bench.bench_tables`. Each way makes its table, sorts nothing and draws header and rows; the
ways take turns in one process, so that a busy machine slows all of them. Only the ratios carry over to other machines.
"""

import os
import statistics
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, timedelta
from time import perf_counter

import django
from django.conf import settings
from django.http import HttpResponse
from django.urls import path, set_urlconf

ROWS, ROUNDS = 50, 25
URL_CONF = "tests.bench.bench_tables"

BY_HAND = """
<div class="table-scroll"><table class="ledger"><caption>Orders</caption><thead><tr>
{% for head in heads %}<th scope="col"><a class="sort" href="?sort={{ head }}">{{ head }}</a></th>{% endfor %}
</tr></thead><tbody>
{% for row in rows %}<tr>
<th scope="row"><a href="{% url 'order' row.number %}">{{ row.number }}</a></th>
<td data-label="Buyer">{{ row.buyer }}</td><td data-label="Town">{{ row.town }}</td>
<td class="date" data-label="Asked on">{{ row.asked_on|date:"D j M Y" }}</td>
<td class="date" data-label="Wanted on">{{ row.wanted_on|date:"D j M Y" }}</td>
<td class="number" data-label="Nucs">{{ row.nucs|intcomma }}</td>
<td class="number" data-label="Price (CAD)">{{ row.price|intcomma }}</td>
<td class="number" data-label="Deposit (CAD)">{{ row.deposit|intcomma }}</td>
<td data-label="State"><span class="state state-{{ row.tone }}">{{ row.state }}</span></td>
<td data-label="Note">{{ row.note }}</td>
</tr>{% endfor %}
</tbody></table></div>
"""


@dataclass(frozen=True)
class Row:
    number: str
    buyer: str
    town: str
    asked_on: date
    wanted_on: date
    nucs: int
    price_cents: int
    deposit_cents: int
    state: str
    tone: str
    note: str

    @property
    def price(self) -> str:
        return f"{self.price_cents / 100:.2f}"

    @property
    def deposit(self) -> str:
        return f"{self.deposit_cents / 100:.2f}"


urlpatterns = [path("orders/<str:number>/", lambda request, number: HttpResponse(number), name="order")]


def make_rows(count: int = ROWS) -> list[Row]:
    """Invented orders, every day another one, a third of the notes empty, some with markup to escape."""
    start = date(2027, 1, 4)
    states = [("promised", "good"), ("waiting", "mind"), ("lapsed", "broken")]
    return [
        Row(
            number=f"2027-{number:04d}",
            buyer=f"Buyer & Daughter {number}",
            town=f"Town {number % 7}",
            asked_on=start + timedelta(days=number),
            wanted_on=start + timedelta(days=120 + number),
            nucs=number % 40 + 1,
            price_cents=(number % 40 + 1) * 21_500,
            deposit_cents=(number % 40 + 1) * -5_000,
            state=states[number % 3][0],
            tone=states[number % 3][1],
            note="" if number % 3 else f"call before <{number}:00",
        )
        for number in range(count)
    ]


def ways(rows: list[Row]) -> dict[str, Callable[[], str]]:
    """Each way to draw the same `rows`, as a function without arguments."""
    import django_tables2
    from django.contrib.humanize.templatetags.humanize import intcomma
    from django.template import engines
    from django.test import RequestFactory
    from django.utils.html import format_html

    from apiary_ops.core import tables

    class Stock(django_tables2.Table):
        number = django_tables2.Column(linkify=("order", [django_tables2.A("number")]))
        buyer = django_tables2.Column()
        town = django_tables2.Column()
        asked_on = django_tables2.DateColumn(format="D j M Y", attrs={"td": {"class": "date"}})
        wanted_on = django_tables2.DateColumn(format="D j M Y", attrs={"td": {"class": "date"}})
        nucs = django_tables2.Column(attrs={"td": {"class": "number"}})
        price = django_tables2.Column(attrs={"td": {"class": "number"}})
        deposit = django_tables2.Column(attrs={"td": {"class": "number"}})
        state = django_tables2.Column()
        note = django_tables2.Column(default="")

        def render_price(self, value: str) -> str:
            return intcomma(value)

        def render_deposit(self, value: str) -> str:
            return intcomma(value)

        def render_state(self, value: str, record: Row) -> str:
            return format_html('<span class="state state-{}">{}</span>', record.tone, value)

    class Lean(tables.LedgerTable):
        caption = "Orders"
        number = tables.LinkColumn(url_name="order", key="number")
        buyer = tables.TextColumn()
        town = tables.TextColumn()
        asked_on = tables.DateColumn()
        wanted_on = tables.DateColumn()
        nucs = tables.NumberColumn()
        price_cents = tables.MoneyColumn("Price")
        deposit_cents = tables.MoneyColumn("Deposit")
        state = tables.StateColumn(tones="tone")
        note = tables.TextColumn()

    request = RequestFactory().get("/orders/")
    by_hand = engines["django"].from_string("{% load humanize %}" + BY_HAND)
    heads = list(Lean.base_columns)
    return {
        "stock": lambda: Stock(rows, template_name="django_tables2/table.html").as_html(request),
        "lean": lambda: tables.table_for(request, Lean, rows, per_page=None, currency="CAD").as_html(request),
        "by hand": lambda: by_hand.render({"rows": rows, "heads": heads}),
    }


def medians(named: dict[str, Callable[[], object]], rounds: int = ROUNDS) -> dict[str, float]:
    """The median time of each function in milliseconds, after one round to warm up; the functions take turns."""
    for function in named.values():
        function()
    times: dict[str, list[float]] = {name: [] for name in named}
    for _ in range(rounds):
        for name, function in named.items():
            started = perf_counter()
            function()
            times[name].append((perf_counter() - started) * 1000)
    return {name: statistics.median(spent) for name, spent in times.items()}


def prepare() -> None:
    """Make Django ready: by the settings the environment names, else with the least that works."""
    if not settings.configured and "DJANGO_SETTINGS_MODULE" not in os.environ:
        engine = {"BACKEND": "django.template.backends.django.DjangoTemplates", "DIRS": ["templates"], "APP_DIRS": True}
        apps = ["django.contrib.humanize", "django_tables2"]
        settings.configure(INSTALLED_APPS=apps, TEMPLATES=[engine], ALLOWED_HOSTS=["testserver"], USE_TZ=True)
    django.setup()


def main() -> None:
    prepare()
    set_urlconf(URL_CONF)
    spent = medians(ways(make_rows()))
    print(f"{ROWS} rows x 10 columns, medians of {ROUNDS} rounds")
    for name, milliseconds in spent.items():
        print(f"  {name:<8} {milliseconds:7.2f} ms   {milliseconds / spent['stock']:5.2f} x stock")
    print(f"  lean against by hand: {spent['lean'] / spent['by hand']:.2f}")


if __name__ == "__main__":
    main()
