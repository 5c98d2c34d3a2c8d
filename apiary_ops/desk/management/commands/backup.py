"""A copy of the whole database while people work."""

import shutil
import sqlite3
import subprocess
from pathlib import Path

from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.db import connection


class Command(BaseCommand):
    help = (
        "Write a consistent copy of the database to a file: SQLite as a database file, PostgreSQL as a pg_dump archive."
    )

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("file", type=Path, help="where to write; it must not exist yet")

    def handle(self, *, file: Path, **options: object) -> None:
        if file.exists():
            raise CommandError(f"{file} exists already; a backup never overwrites one.")
        if not file.parent.is_dir():
            raise CommandError(f"The folder {file.parent} does not exist.")
        copy = copy_sqlite if connection.vendor == "sqlite" else dump_postgresql
        copy(file)
        self.stdout.write(f"{file}: {file.stat().st_size:,} bytes. README says how to restore it.")


def copy_sqlite(file: Path) -> None:
    """SQLite's own online backup: consistent even while others write."""
    connection.ensure_connection()
    target = sqlite3.connect(file)
    try:
        connection.connection.backup(target)
        if target.execute("PRAGMA integrity_check").fetchone() != ("ok",):
            raise CommandError(f"The copy in {file} is damaged; do not rely on it.")
    finally:
        target.close()


def dump_postgresql(file: Path) -> None:
    program = shutil.which("pg_dump")
    if program is None:
        raise CommandError("pg_dump is not installed here. Install PostgreSQL's client programs and try again.")
    place = connection.settings_dict
    command = [program, "--format=custom", f"--file={file}", f"--dbname={place['NAME']}"]
    for option, key in (("host", "HOST"), ("port", "PORT"), ("username", "USER")):
        if place[key]:
            command.append(f"--{option}={place[key]}")
    # The password travels in the environment, where a list of processes does not show it.
    done = subprocess.run(command, env={"PATH": "/usr/bin:/bin", "PGPASSWORD": place["PASSWORD"]}, check=False)
    if done.returncode:
        file.unlink(missing_ok=True)
        raise CommandError("pg_dump failed; its message stands above.")
