"""The demo builds a whole season through the services, proves it, and touches no database but its own."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[3]


def run_demo(file: Path, *options: str) -> subprocess.CompletedProcess[str]:
    environment = {name: value for name, value in os.environ.items() if not name.startswith("APIARY_")}
    return subprocess.run(
        [sys.executable, "manage.py", "demo", "--no-serve", *options],
        cwd=ROOT,
        env=environment | {"DATABASE_URL": f"sqlite:///{file}"},
        capture_output=True,
        text=True,
        check=False,
    )


@pytest.mark.parametrize("seed", ["1", "7"])
def test_a_season_is_built_and_every_proof_agrees(tmp_path, seed):
    done = run_demo(tmp_path / "demo.sqlite3", "--seed", seed, "--today", "2027-06-09")

    assert done.returncode == 0, done.stderr
    assert "DIFFERS" not in done.stdout
    assert done.stdout.count("  agrees ") == 15
    assert "season 2027, on Wednesday 09 June 2027" in done.stdout
    assert "Margin per nuc, 5-frame spring nuc" in done.stdout


def test_early_in_the_season_it_prints_only_what_has_happened(tmp_path):
    done = run_demo(tmp_path / "demo.sqlite3", "--today", "2027-02-01")

    assert done.returncode == 0, done.stderr
    assert "Margin per nuc" not in done.stdout
    assert "Nucs made                          0" in done.stdout


def test_another_database_is_refused_and_left_alone(tmp_path):
    other = tmp_path / "books.sqlite3"
    other.write_bytes(b"precious")

    done = run_demo(other)

    assert done.returncode != 0
    assert "touches only its own demo.sqlite3" in done.stderr
    assert other.read_bytes() == b"precious"


def test_a_day_outside_the_season_is_refused(tmp_path):
    done = run_demo(tmp_path / "demo.sqlite3", "--today", "2027-11-02")

    assert done.returncode != 0
    assert "choose a day from January to August" in done.stderr
