"""Settings refuse what is unsafe, and say how to mend it."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
LONG_SECRET = "a" * 60


def load_settings(**environment: str) -> subprocess.CompletedProcess:
    clean = {name: value for name, value in os.environ.items() if not name.startswith(("APIARY_", "DATABASE_URL"))}
    code = (
        "from apiary_ops import settings as s;"
        "print(s.DEBUG, s.SESSION_COOKIE_SECURE, s.SECURE_HSTS_SECONDS, s.SESSION_COOKIE_NAME, s.SECURE_SSL_REDIRECT)"
    )
    return subprocess.run(
        [sys.executable, "-c", code], cwd=ROOT, env=clean | environment, capture_output=True, text=True, check=False
    )


def test_without_a_secret_production_does_not_start():
    refused = load_settings()

    assert refused.returncode != 0
    assert "APIARY_SECRET_KEY is missing" in refused.stderr


def test_a_short_secret_is_refused():
    assert "too short" in load_settings(APIARY_SECRET_KEY="short").stderr


def test_production_is_secure_by_default():
    assert load_settings(APIARY_SECRET_KEY=LONG_SECRET).stdout.split() == [
        "False",
        "True",
        "31536000",
        "__Host-session",
        "True",
    ]


def test_a_switch_takes_only_0_or_1():
    assert "APIARY_DEBUG must be 0 or 1, got 'yes'" in load_settings(APIARY_DEBUG="yes").stderr


def test_a_secret_may_stand_in_a_file(tmp_path):
    (tmp_path / "secret").write_text(LONG_SECRET + "\n")

    assert load_settings(APIARY_SECRET_KEY_FILE=str(tmp_path / "secret")).returncode == 0


@pytest.mark.django_db
def test_every_answer_carries_the_strict_policies(client):
    response = client.get("/sign-in/")

    policy = response["Content-Security-Policy"]
    assert "unsafe-inline" not in policy
    assert "default-src 'none'" in policy
    assert "frame-ancestors 'none'" in policy
    assert response["X-Content-Type-Options"] == "nosniff"
    assert response["Cross-Origin-Opener-Policy"] == "same-origin"


@pytest.mark.django_db
def test_pages_hold_no_inline_script_or_style(client):
    page = client.get("/sign-in/").text

    assert "<style" not in page
    assert " style=" not in page
    assert "<script>" not in page


def test_the_pretended_day_must_be_a_day():
    assert "must be a day like 2027-06-09" in load_settings(APIARY_DEBUG="1", APIARY_TODAY="soon").stderr
