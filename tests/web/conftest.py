"""Pages are tested and counted without the season line, which has tests and a budget of its own (tests/web/desk)."""

import pytest

from apiary_ops.core import shell


@pytest.fixture(autouse=True)
def no_season_line(request, monkeypatch):
    if "season_line" not in request.fixturenames:
        monkeypatch.setattr(shell, "_season_line", [])


@pytest.fixture
def season_line():
    """Ask for it to test with the strip drawn."""
