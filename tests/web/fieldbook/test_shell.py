"""The shell a phone keeps: open, the same for everyone, and new whenever a byte of it is."""

import json
import re

import pytest
from django.urls import reverse

from apiary_ops.fieldbook import shell

pytestmark = pytest.mark.django_db


def test_the_shell_is_the_same_bytes_for_everyone(client, season, sign_in):
    signed_out = client.get(reverse("fieldbook:shell"))
    who = sign_in(full_name="Tove Brook", crew=True)

    signed_in = client.get(reverse("fieldbook:shell"))

    assert signed_in.content == signed_out.content
    assert who.full_name.encode() not in signed_in.content
    assert b"csrfmiddlewaretoken" not in signed_in.content
    assert (signed_in.cookies, signed_in["Cache-Control"]) == ({}, "no-cache")


def test_the_worker_lists_the_shell_and_its_files_that_are_there(client, season):
    response = client.get(reverse("fieldbook:worker"))

    text = response.content.decode()
    listed = json.loads(re.search(r"\[[^\]]*\]", text).group())
    assert response["Content-Type"] == "text/javascript; charset=utf-8"
    assert response["Cache-Control"] == "no-cache"
    assert {"/field/", "/field/manifest.webmanifest", "/static/fieldbook/idb.js"} <= set(listed)
    assert shell.shell().version in text
    assert not any(address.endswith(".txt") for address in listed)


def test_the_version_changes_with_any_byte_of_the_shell(tmp_path, monkeypatch):
    before = shell.shell().version
    monkeypatch.setattr(shell, "shell_html", lambda: "<p>another page</p>")

    after = shell.shell().version

    assert before != after
    assert shell.shell().version == after


def test_the_manifest_starts_the_field_book(client, season):
    response = client.get(reverse("fieldbook:manifest"))

    facts = response.json()
    assert response["Content-Type"] == "application/manifest+json"
    assert (facts["start_url"], facts["scope"], facts["display"]) == ("/field/", "/field/", "standalone")
