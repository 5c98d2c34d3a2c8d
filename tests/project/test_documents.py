"""The documents say what the code does: settings, commands, state paths, pictures."""

import re
from pathlib import Path

from django.apps import apps
from django.core.management import get_commands

ROOT = Path(__file__).resolve().parents[2]
README = (ROOT / "README.md").read_text(encoding="utf-8")
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")


def state_paths() -> dict[str, str]:
    """For each model with PATHS, its states as DEVELOPERS.md lists them."""
    found = {}
    for model in apps.get_models():
        paths = getattr(model, "PATHS", None)
        if paths and model._meta.app_label != "core" and not model.__name__.startswith("Historical"):
            steps = [f"{start} → {', '.join(ends)}" for start, ends in paths.items() if ends]
            found[f"{model._meta.app_label}.{model.__name__}"] = "; ".join(steps)
    return found


def test_every_setting_read_from_the_environment_stands_in_the_readme():
    code = (ROOT / "apiary_ops" / "settings.py").read_text(encoding="utf-8")
    names = set(re.findall(r'_setting\(\s*"([A-Z_]+)"', code))

    missing = sorted(name for name in names if f"`{name}`" not in README)

    assert missing == []


def test_every_command_of_ours_stands_in_the_readme():
    ours = [name for name, app in get_commands().items() if app.startswith("apiary_ops")]

    missing = sorted(name for name in ours if f"`{name}`" not in README)

    assert missing == []


def test_every_state_path_stands_in_the_developers_page():
    missing = [f"- `{model}`: {steps}" for model, steps in state_paths().items() if steps not in DEVELOPERS]

    assert missing == []


def test_every_picture_the_readme_shows_is_there():
    for name in re.findall(r"!\[[^\]]*\]\(([^)]+)\)", README):
        assert (ROOT / name).is_file(), name


def test_every_app_stands_in_the_developers_map():
    for app in apps.get_app_configs():
        if app.name.startswith("apiary_ops."):
            assert f"`{app.label}`" in DEVELOPERS, app.label
