"""The import contracts hold, and a planted wrong import breaks exactly the one it should."""

import shutil
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
CHECKER = Path(sys.executable).with_name("lint-imports")

pytestmark = pytest.mark.skipif(not CHECKER.exists(), reason="lint-imports is not installed beside this Python")


@pytest.fixture
def copy(tmp_path) -> Path:
    shutil.copytree(ROOT / "apiary_ops", tmp_path / "apiary_ops", ignore=shutil.ignore_patterns("static", "fonts"))
    shutil.copy(ROOT / "pyproject.toml", tmp_path)
    return tmp_path


def check(folder: Path) -> str:
    """What the checker prints, on one line."""
    done = subprocess.run([CHECKER, "--no-cache"], cwd=folder, capture_output=True, text=True, check=False)
    return " ".join(done.stdout.split())


def plant(folder: Path, module: str, line: str) -> None:
    file = folder / "apiary_ops" / module
    file.write_text(file.read_text(encoding="utf-8") + f"\n{line}\n", encoding="utf-8")


def test_as_it_stands_every_contract_is_kept(copy):
    assert "0 broken." in check(copy)


@pytest.mark.parametrize(
    ("module", "line", "contract"),
    [
        (
            "yards/models/places.py",
            "from apiary_ops.orders import models as above",
            "Each app uses only the apps below it",
        ),
        ("orders/compute.py", "import django", "Rules are pure"),
        ("orders/queries.py", "from apiary_ops.orders import views", "Inside an app, doors above services"),
    ],
)
def test_a_planted_wrong_import_breaks_exactly_one_contract(copy, module, line, contract):
    plant(copy, module, line)

    said = check(copy)

    assert "1 broken." in said
    assert contract in said.split("BROKEN")[0].rsplit("KEPT", 1)[-1]
