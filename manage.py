#!/usr/bin/env python3
"""The door to every command of the project."""

import os
import sys


def main() -> None:
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "apiary_ops.settings")
    try:
        from django.core.management import execute_from_command_line
    except ImportError as missing:
        raise SystemExit(
            "Django is not installed here. Run `python3 tests/run.py --only install` first, "
            "then use .venv/bin/python manage.py."
        ) from missing
    execute_from_command_line(sys.argv)


if __name__ == "__main__":
    main()
