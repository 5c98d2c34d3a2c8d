"""An invented season on a fresh database, one page of results, then the desk served with its worker."""

import os
import subprocess
import sys
import time
from argparse import ArgumentTypeError
from datetime import date
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.db import connection

from apiary_ops.core import clock
from apiary_ops.desk.demo import SIZES, Scenario, build, results

FILE_NAME = "demo.sqlite3"


def spring_day(text: str) -> date:
    try:
        day = date.fromisoformat(text)
    except ValueError:
        raise ArgumentTypeError(f"{text!r} is not a day like 2027-06-09") from None
    if not 1 <= day.month <= 8:
        raise ArgumentTypeError("choose a day from January to August, within the season")
    return day


class Command(BaseCommand):
    help = "Build an invented season through the services, print its results and serve it."
    requires_migrations_checks = False

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--size", choices=sorted(SIZES), default="small")
        parser.add_argument("--seed", type=int, default=1, help="another seed, another season (default 1)")
        parser.add_argument(
            "--today",
            type=spring_day,
            default=None,
            help="the day the demo plays on (default: 9 June of this year, 30 July for a large one)",
        )
        parser.add_argument("--no-serve", action="store_true", help="stop after the results; non-zero if a proof fails")
        parser.add_argument("--port", type=int, default=8000)

    def handle(self, *, size: str, seed: int, today: date | None, no_serve: bool, port: int, **options: Any) -> None:
        file = demo_file()
        # A small season stands in its busiest week; a large one is there to be measured, nearly all handed over.
        today = today or date(clock.today().year, *((6, 9) if size == "small" else (7, 30)))
        # Services are told the day; pages of this process and its children read it from here.
        os.environ["APIARY_TODAY"] = today.isoformat()
        settings.PRETENDED_TODAY = today
        self.begin_afresh(file)
        scenario = Scenario(SIZES[size], today, seed, self.say)
        started = time.monotonic()
        build(scenario)
        self.say(f"Built in {time.monotonic() - started:.0f} seconds.\n\n")
        all_agree = results.write_page(scenario, self.say)
        if no_serve:
            if not all_agree:
                raise CommandError("A proof does not agree; it is named above.")
            return
        serve(port, self.say)

    def say(self, text: str) -> None:
        """At once, also into a file or a pipe: the web server that follows would hold it back."""
        self.stdout.write(text)
        self.stdout.flush()

    def begin_afresh(self, file: Path) -> None:
        connection.close()
        for name in (file, file.with_name(file.name + "-wal"), file.with_name(file.name + "-shm")):
            name.unlink(missing_ok=True)
        self.say(f"A fresh {file.name} …")
        call_command("migrate", verbosity=0)


def demo_file() -> Path:
    """The demo's own database file. Raises CommandError when this process is set to any other database."""
    named = connection.settings_dict["NAME"]
    if connection.vendor != "sqlite" or Path(named).name != FILE_NAME:
        raise CommandError(
            f"The demo begins afresh and so touches only its own {FILE_NAME}, not {named}. "
            "Run it as `python3 manage.py demo` without DATABASE_URL."
        )
    return Path(named)


def serve(port: int, say: Any) -> None:
    """The desk on this machine and its worker, until interrupted."""
    manage = [sys.executable, str(settings.BASE_DIR / "manage.py")]
    worker = subprocess.Popen([*manage, "db_worker", "--interval", "2"])
    say(f"\nOpen http://localhost:{port}/ — stop with Ctrl-C.")
    try:
        subprocess.run([*manage, "runserver", "--noreload", f"localhost:{port}"], check=False)
    except KeyboardInterrupt:
        say("Stopped.")
    finally:
        worker.terminate()
        worker.wait(timeout=10)
