from io import StringIO

import pytest
from django.core.management import CommandError, call_command
from django.db import connection

from apiary_ops.books.models import Account, Period
from apiary_ops.business.models import Business, Season
from apiary_ops.people.models import User

ANSWERS = {
    "name": "Mill Bank Bees",
    "address": "4 Mill Lane",
    "currency": "CAD",
    "time_zone": "America/Halifax",
    "owner": "mara",
    "owner_name": "Mara Quill",
    "season": 2027,
}


@pytest.fixture
def typed(monkeypatch):
    """What the owner types for a password."""
    monkeypatch.setattr("getpass.getpass", lambda prompt: "nine frames of brood")


@pytest.mark.django_db
def test_a_new_desk_has_a_business_a_season_a_chart_and_an_owner(typed):
    call_command("set_up", **ANSWERS, stdout=StringIO())

    assert Business.objects.get().name == "Mill Bank Bees"
    assert Season.objects.get().year == 2027
    assert User.objects.get(username="mara").check_password("nine frames of brood")
    assert Account.objects.filter(key="deposits-held").exists()
    assert Period.objects.count() == 12


@pytest.mark.django_db
def test_a_desk_is_set_up_once(typed):
    call_command("set_up", **ANSWERS, stdout=StringIO())

    with pytest.raises(CommandError, match="already set up"):
        call_command("set_up", **ANSWERS, stdout=StringIO())


@pytest.mark.django_db
@pytest.mark.parametrize(("field", "value"), [("currency", "XXZ"), ("time_zone", "Moon/Base")])
def test_a_wrong_answer_is_named_and_nothing_is_half_done(typed, field, value):
    with pytest.raises(CommandError, match=value):
        call_command("set_up", **ANSWERS | {field: value}, stdout=StringIO())

    assert not Business.objects.exists()
    assert not User.objects.exists()


@pytest.mark.django_db
def test_a_password_typed_in_two_ways_sets_nothing_up(monkeypatch):
    words = iter(["nine frames of brood", "nine frames of bread"])
    monkeypatch.setattr("getpass.getpass", lambda prompt: next(words))

    with pytest.raises(CommandError, match="The two passwords differ. Nothing is set up; run the command again."):
        call_command("set_up", **ANSWERS)

    assert not Business.objects.exists()


def test_a_backup_never_overwrites_a_file(tmp_path):
    file = tmp_path / "old"
    file.write_bytes(b"old")

    with pytest.raises(CommandError, match="never overwrites"):
        call_command("backup", file, stdout=StringIO())

    assert file.read_bytes() == b"old"


@pytest.mark.django_db
def test_a_backup_is_a_database_with_what_was_committed(tmp_path, typed, transactional_db):
    call_command("set_up", **ANSWERS, stdout=StringIO())

    call_command("backup", tmp_path / "copy", stdout=StringIO())

    content = (tmp_path / "copy").read_bytes()
    assert content.startswith(b"SQLite format 3" if connection.vendor == "sqlite" else b"PGDMP")
