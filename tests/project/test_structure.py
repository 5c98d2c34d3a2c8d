"""What the import checker cannot see: names in strings and templates that would point up the stack."""

import re
from pathlib import Path

import pytest
from django.apps import apps
from django.db.migrations.loader import MigrationLoader

ROOT = Path(__file__).resolve().parents[2]
# Bottom first, as in pyproject's layers.
STACK = [
    "kernel",
    "core",
    "people",
    "papers",
    "business",
    "sheets",
    "fieldbook",
    "yards",
    "books",
    "costs",
    "queens",
    "nucs",
    "orders",
    "billing",
    "capacity",
    "promise",
    "allocation",
    "pickups",
    "margin",
    "closing",
    "desk",
]
LEVEL = {app: level for level, app in enumerate(STACK)}
# The shell's own page, named in settings, is where everyone lands.
URL_NAME = re.compile(r"""(?:\{%\s*url\s+|reverse(?:_lazy)?\(\s*|redirect\(\s*|url_name=)['"]([a-z]+):[a-z-]+['"]""")
LOAD = re.compile(r"\{%\s*load\s+([\w\s]+?)\s*%\}")


def app_of(path: Path) -> str | None:
    """The app a source file or a template folder belongs to; the frame of all pages belongs to core."""
    parts = path.relative_to(ROOT).parts
    if parts[0] == "templates":
        return parts[1] if len(parts) > 2 and parts[1] in LEVEL else "core"
    return parts[1] if parts[1] in LEVEL else None


def sources() -> list[Path]:
    return [*(ROOT / "apiary_ops").rglob("*.py"), *(ROOT / "templates").rglob("*.html")]


def test_no_page_names_an_address_above_it():
    wrong = []
    for path in sources():
        app = app_of(path)
        if app is None or app == "core":
            # The frame links to sign-in, sign-out and the password page: the people app it is drawn for.
            continue
        for target in URL_NAME.findall(path.read_text(encoding="utf-8")):
            if LEVEL[target] > LEVEL[app]:
                wrong.append(f"{path.relative_to(ROOT)} names {target}")
    assert wrong == []


def test_no_foreign_key_or_migration_points_up():
    wrong = []
    for model in apps.get_models(include_auto_created=True):
        if model._meta.app_label not in LEVEL:
            continue
        for field in model._meta.get_fields():
            target = getattr(field, "related_model", None)
            level = LEVEL.get(target._meta.app_label, -1) if field.concrete and target is not None else -1
            if level > LEVEL[model._meta.app_label]:
                wrong.append(f"{model.__name__}.{field.name}")
    loader = MigrationLoader(None, ignore_no_migrations=True)
    for (app, name), migration in loader.disk_migrations.items():
        for needed, _ in migration.dependencies:
            if app in LEVEL and needed in LEVEL and LEVEL[needed] > LEVEL[app]:
                wrong.append(f"{app}.{name} needs {needed}")
    assert wrong == []


@pytest.mark.parametrize("word", ["utils", "helpers", "common", "misc"])
def test_no_module_is_a_drawer_for_everything(word):
    assert list((ROOT / "apiary_ops").rglob(f"{word}*.py")) == []


def test_every_app_says_in_one_sentence_what_it_owns():
    for app in STACK:
        text = (ROOT / "apiary_ops" / app / "__init__.py").read_text(encoding="utf-8")
        first_line = text.splitlines()[0]
        assert first_line.startswith('"""'), app
        assert first_line.rstrip('"').endswith("."), app
