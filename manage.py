#!/usr/bin/env python3
"""The door to every command of the project."""

import os
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parent
OWN_PYTHON = ROOT / ".venv" / ("Scripts/python.exe" if os.name == "nt" else "bin/python")


def main() -> None:
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "apiary_ops.settings")
    if "demo" in sys.argv[1:2]:
        prepare_demo()
    try:
        from django.core.management import execute_from_command_line
    except ImportError as missing:
        raise SystemExit(
            "Django is not installed for this Python. Run `python3 tests/run.py --only install` once, "
            "then `.venv/bin/python manage.py ...`."
        ) from missing
    execute_from_command_line(sys.argv)


def prepare_demo() -> None:
    """The demo needs nothing but Python: it installs what is missing and plays on its own machine, in its own file."""
    for name, value in {
        "APIARY_DEBUG": "1",
        "DATABASE_URL": f"sqlite:///{ROOT / 'demo.sqlite3'}",
    }.items():
        os.environ.setdefault(name, value)
    try:
        import django  # noqa: F401
    except ImportError:
        if Path(sys.executable) == OWN_PYTHON or sys.version_info < (3, 11):
            raise SystemExit("The demo needs Python 3.11 or newer.") from None
        subprocess.run([sys.executable, str(ROOT / "tests" / "run.py"), "--only", "install"], check=True)
        os.execv(OWN_PYTHON, [str(OWN_PYTHON), *sys.argv])


if __name__ == "__main__":
    main()
