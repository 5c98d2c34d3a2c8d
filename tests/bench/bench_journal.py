"""How long the journal takes: our table against stock django-tables2 and a template by hand, few entries against many.

Run as `python -m tests.bench.bench_journal`. It makes its own temporary SQLite databases: a season of 500 entries and
one of 25,000 (about 60,000 postings). All ways take turns in one process, so that a busy machine slows all of them;
only the ratios carry over to other machines. Aims: ours at most 0.3 x stock, the large season at most 1.3 x the small
one, and the same number of queries for both.
"""

import os
import shutil
import statistics
import tempfile
import warnings
from collections.abc import Callable
from datetime import date, timedelta
from pathlib import Path
from time import perf_counter
from typing import Any

SMALL, LARGE = 500, 25_000  # entries
PER_PAGE, ROUNDS = 50, 25
STOCK_AIM, LARGE_AIM = 0.3, 1.3

BY_HAND = """
<div class="table-scroll"><table class="ledger"><caption>Entries, newest first</caption><thead><tr>
{% for head in heads %}<th scope="col"><a class="sort" href="?sort={{ head }}">{{ head }}</a></th>{% endfor %}
</tr></thead><tbody>
{% for row in page %}<tr>
<th scope="row"><a href="{% url 'books:entry' row.pk %}">{{ row.memo }}</a></th>
<td class="date" data-label="Day">{{ row.posted_on|date:"D j M Y" }}</td>
<td data-label="Debited">{{ row.debited }}</td><td data-label="Credited">{{ row.credited }}</td>
<td class="number" data-label="Amount (CAD)">{{ row.moved_cents|cents:"CAD" }}</td>
<td data-label="Caused by">{{ row.cause }}</td>
</tr>{% endfor %}
</tbody></table></div>
"""


def main() -> None:
    with tempfile.TemporaryDirectory() as folder:
        small, large = Path(folder) / "small.sqlite3", Path(folder) / "large.sqlite3"
        prepare(small)
        add_entries(0, SMALL)
        use(None)
        shutil.copy(small, large)
        use(large)
        add_entries(SMALL, LARGE)
        print(f"journal, {PER_PAGE} of {LARGE:,} entries, medians of {ROUNDS} rounds")
        show_tables(medians(tables()))
        show_pages(small, large)


def prepare(path: Path) -> None:
    """Django on a new database with a business, the chart and a fiscal year."""
    os.environ |= {"DATABASE_URL": f"sqlite:///{path}", "APIARY_DEBUG": "1", "APIARY_TODAY": "2027-06-01"}
    os.environ["DJANGO_SETTINGS_MODULE"] = "apiary_ops.settings"
    import django

    django.setup()
    from django.conf import settings
    from django.core.management import call_command

    from apiary_ops.books.services import install_chart, open_fiscal_year
    from tests.factories.business import BusinessFactory, SeasonFactory
    from tests.factories.people import UserFactory

    warnings.filterwarnings("ignore", "No directory at")  # static files are not collected here
    settings.DEBUG = False  # it would keep every query
    settings.ALLOWED_HOSTS = ["testserver"]
    call_command("migrate", verbosity=0)
    BusinessFactory()
    SeasonFactory()
    UserFactory(bookkeeper=True)
    install_chart()
    open_fiscal_year(year=2027, starts_on=date(2026, 10, 1))


def use(path: Path | None) -> None:
    """Read from another database from now on."""
    from django.db import connection

    connection.close()
    if path:
        connection.settings_dict["NAME"] = str(path)


def add_entries(first: int, after: int) -> None:
    """Invented entries number `first` to before `after`, through the bulk service; every third has a third line."""
    from apiary_ops.books.services import EntryDraft, Posting, post_entries
    from apiary_ops.business.models import Season

    season = Season.objects.get()
    drafts = [
        EntryDraft(
            source=f"order:2027-{number:05}",
            purpose="deposit",
            posted_on=date(2026, 10, 1) + timedelta(days=number % 240),
            season_id=season.pk,
            memo=f"Deposit of buyer & daughter {number}",
            postings=[
                Posting("bank", 7_500 + number, memo="transfer"),
                Posting("bank-charges", number % 3 and 25),
                Posting("deposits-held", -7_500 - number - (number % 3 and 25), subject=f"order:2027-{number:05}"),
            ],
        )
        for number in range(first, after)
    ]
    for start in range(0, len(drafts), 2_000):
        post_entries(drafts[start : start + 2_000], actor=None)


def tables() -> dict[str, Callable[[], str]]:
    """Each way to read and draw the first page of the same journal."""
    import django_tables2
    from django.core.paginator import Paginator
    from django.template import engines
    from django.test import RequestFactory

    from apiary_ops.books import queries
    from apiary_ops.books.tables import JournalTable
    from apiary_ops.core.tables import table_for
    from apiary_ops.kernel.money import Money

    class Stock(django_tables2.Table):
        memo = django_tables2.Column(linkify=("books:entry", [django_tables2.A("pk")]))
        posted_on = django_tables2.DateColumn(format="D j M Y", attrs={"td": {"class": "date"}})
        debited = django_tables2.Column(orderable=False)
        credited = django_tables2.Column(orderable=False)
        moved_cents = django_tables2.Column(orderable=False, attrs={"td": {"class": "number"}})
        cause = django_tables2.Column(order_by="source")

        def render_moved_cents(self, value: int) -> str:
            return Money(value, "CAD").plain

    request = RequestFactory().get("/books/")
    by_hand = engines["django"].from_string(BY_HAND)
    heads = list(JournalTable.base_columns)

    def stock() -> str:
        table = Stock(queries.entries(), template_name="django_tables2/table.html")
        return table.paginate(page=1, per_page=PER_PAGE).as_html(request)

    def ours() -> str:
        return table_for(request, JournalTable, queries.entries(), per_page=PER_PAGE, currency="CAD").as_html(request)

    def template() -> str:
        return by_hand.render({"page": Paginator(queries.entries(), PER_PAGE).page(1), "heads": heads})

    return {"stock": stock, "ours": ours, "by hand": template}


def medians(named: dict[str, Callable[[], Any]], turn: Callable[[str], None] = lambda name: None) -> dict[str, float]:
    """The median time of each function in milliseconds, after a round to warm up; `turn` runs before each, untimed."""
    times: dict[str, list[float]] = {name: [] for name in named}
    for number in range(ROUNDS + 1):
        for name, function in named.items():
            turn(name)
            started = perf_counter()
            function()
            if number:
                times[name].append((perf_counter() - started) * 1000)
    return {name: statistics.median(spent) for name, spent in times.items()}


def show_tables(spent: dict[str, float]) -> None:
    for name, milliseconds in spent.items():
        print(f"  {name:<8} {milliseconds:7.2f} ms   {milliseconds / spent['stock']:5.2f} x stock")
    judge("ours against stock", spent["ours"] / spent["stock"], STOCK_AIM)
    print(f"  ours against by hand: {spent['ours'] / spent['by hand']:.2f}")


def show_pages(small: Path, large: Path) -> None:
    """The whole page, signed in, on both databases."""
    from django.db import connection
    from django.test import Client
    from django.test.utils import CaptureQueriesContext

    from apiary_ops.people.models import User

    places = {"small": small, "large": large}
    clients, queries = {}, {}
    for name, path in places.items():
        use(path)
        clients[name] = Client()
        clients[name].force_login(User.objects.get())
        clients[name].get("/books/")
        with CaptureQueriesContext(connection) as captured:
            assert clients[name].get("/books/").status_code == 200
        queries[name] = len(captured)

    def turn(name: str) -> None:
        use(places[name])
        connection.ensure_connection()
        clients[name].get("/sign-in/")  # warms the connection

    spent = medians({name: lambda name=name: clients[name].get("/books/") for name in places}, turn)
    print(f"whole page: small {spent['small']:.1f} ms, large {spent['large']:.1f} ms")
    judge("large against small", spent["large"] / spent["small"], LARGE_AIM)
    print(f"  queries: {queries['small']} and {queries['large']}")
    assert queries["small"] == queries["large"], "The number of queries grows with the season."


def judge(what: str, ratio: float, aim: float) -> None:
    print(f"  {what}: {ratio:.2f} (aim {aim}, {'reached' if ratio <= aim else 'MISSED'})")


if __name__ == "__main__":
    main()
