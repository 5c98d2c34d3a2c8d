"""How long 2,000 colonies and 2,000 looks take to come in from a file, against plain bulk_create of the same rows.

Run as `python -m tests.bench.bench_import`. It makes its own temporary SQLite database. Each round brings in a CSV and
an .xlsx file and undoes it, then writes the same rows with bulk_create alone: no reading, no rules, no history. Only
the ratios carry over to other machines. Aims: an import at most 25 x plain bulk_create, an undo at most 20 x.
"""

import os
import tempfile
from collections.abc import Callable
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from statistics import median
from time import perf_counter
from typing import Any

COLONIES, YARDS, ROUNDS = 2_000, 40, 3
TODAY = date(2027, 4, 12)
NOW = datetime(2027, 4, 12, 15, 0, tzinfo=UTC)
IMPORT_AIM, UNDO_AIM = 25, 20


def main() -> None:
    with tempfile.TemporaryDirectory() as folder:
        office = prepare(Path(folder) / "bench.sqlite3")
        print(f"{COLONIES:,} colonies and as many looks, medians of {ROUNDS} rounds")
        for kind, records, plain in (("colonies", colonies(), plain_colonies), ("looks", looks(), plain_looks)):
            measure(kind, records, plain, office)
            keep(kind, records, office)


def prepare(path: Path) -> Any:
    """Django on a new database with a business, a season and its yards; returns who gives the files."""
    os.environ |= {"DATABASE_URL": f"sqlite:///{path}", "APIARY_DEBUG": "1", "APIARY_TODAY": TODAY.isoformat()}
    os.environ["DJANGO_SETTINGS_MODULE"] = "apiary_ops.settings"
    import django

    django.setup()
    from django.conf import settings
    from django.core.management import call_command

    from tests.factories.business import BusinessFactory, SeasonFactory
    from tests.factories.people import UserFactory
    from tests.factories.yards import YardFactory

    settings.DEBUG = False  # it would keep every query
    call_command("migrate", verbosity=0)
    BusinessFactory()
    SeasonFactory(year=2027)
    for number in range(YARDS):
        YardFactory(code=f"yard-{number:02}", name=f"Yard {number:02}")
    return UserFactory(office=True)


def colonies() -> list[dict[str, Any]]:
    return [
        {"tag": f"C{number:05}", "yard": f"yard-{number % YARDS:02}", "started_on": date(2026, 6, 1), "boxes": 2}
        for number in range(COLONIES)
    ]


def looks() -> list[dict[str, Any]]:
    return [
        {
            "tag": f"C{number:05}",
            "on": date(2027, 4, 1) + timedelta(days=number % YARDS % 10),
            "degrees_c": 6,
            "below_halves": number % 25,
            "queen": "seen",
            "patty": "half",
            "note": "a line of words",
        }
        for number in range(COLONIES)
    ]


def measure(kind: str, records: list[dict[str, Any]], plain: Callable[[], float], office: Any) -> None:
    from apiary_ops.sheets import queries, services
    from apiary_ops.sheets.compute import csv_bytes, xlsx_bytes
    from apiary_ops.sheets.registry import importer_of

    importer = importer_of(kind)
    assert importer is not None
    columns = queries.columns_of(importer)
    files = {"csv": csv_bytes(columns, records), "xlsx": xlsx_bytes(kind, columns, records)}
    spent: dict[str, list[float]] = {name: [] for name in ("plain", "csv", "xlsx", "undo csv", "undo xlsx")}
    for number in range(ROUNDS + 1):
        spent["plain"].append(plain())
        for ending, content in files.items():
            started = perf_counter()
            run = services.read_file(kind=kind, file_name="x", content=content, actor=office, now=NOW)
            services.carry_out(run_id=run.pk, today=TODAY, actor=office, now=NOW)
            spent[ending].append(perf_counter() - started)
            started = perf_counter()
            services.undo(run_id=run.pk, actor=office, now=NOW)
            spent[f"undo {ending}"].append(perf_counter() - started)
        if not number:  # a round to warm up
            spent = {name: [] for name in spent}
    show(kind, {name: median(times) for name, times in spent.items()})


def show(kind: str, spent: dict[str, float]) -> None:
    print(f"{kind}: plain bulk_create {spent['plain'] * 1000:.0f} ms")
    for name in ("csv", "xlsx", "undo csv", "undo xlsx"):
        ratio, aim = spent[name] / spent["plain"], UNDO_AIM if name.startswith("undo") else IMPORT_AIM
        verdict = "reached" if ratio <= aim else "MISSED"
        print(f"  {name:<10} {spent[name]:6.2f} s   {ratio:5.1f} x plain (aim {aim}, {verdict})")


def keep(kind: str, records: list[dict[str, Any]], office: Any) -> None:
    """Bring the rows in to stay, for what comes after."""
    from apiary_ops.sheets import queries, services
    from apiary_ops.sheets.compute import csv_bytes
    from apiary_ops.sheets.registry import importer_of

    importer = importer_of(kind)
    assert importer is not None
    content = csv_bytes(queries.columns_of(importer), records)
    run = services.read_file(kind=kind, file_name="x", content=content, actor=office, now=NOW)
    services.carry_out(run_id=run.pk, today=TODAY, actor=office, now=NOW)


def plain_colonies() -> float:
    from apiary_ops.yards.models import Colony, Yard

    yards = list(Yard.objects.order_by("code"))
    rows = [
        Colony(tag=one["tag"], yard=yards[place % YARDS], position=place, started_on=one["started_on"])
        for place, one in enumerate(colonies())
    ]
    return timed(Colony, rows)


def plain_looks() -> float:
    from apiary_ops.yards.models import Colony, Look
    from tests.factories.yards import VisitFactory

    visit = VisitFactory(yard_id=Colony.objects.values_list("yard_id", flat=True)[0])
    rows = [Look(visit=visit, colony=colony, below_halves=9) for colony in Colony.objects.order_by("tag")]
    return timed(Look, rows)


def timed(model: Any, rows: list[Any]) -> float:
    """Seconds that bulk_create takes; what it wrote is taken back."""
    from django.db import transaction

    started = perf_counter()
    with transaction.atomic():
        model.objects.bulk_create(rows, batch_size=500)
        spent = perf_counter() - started
        transaction.set_rollback(True)
    return spent


if __name__ == "__main__":
    main()
