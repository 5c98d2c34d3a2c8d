"""Proofs of an installation in which nothing has happened yet."""

import pytest
from django.core.management import CommandError, call_command

from apiary_ops.closing import queries
from tests.factories.business import BusinessFactory, SeasonFactory

pytestmark = pytest.mark.django_db


def test_a_season_in_which_nothing_happened_agrees():
    season = SeasonFactory()

    found = queries.proofs(season.pk)

    assert {(proof.left, proof.right, proof.agrees) for proof in found} == {(0, 0, True)}


def test_the_command_knows_only_seasons_that_are_there():
    BusinessFactory()
    with pytest.raises(CommandError, match="There is no season yet."):
        call_command("check_books")
    SeasonFactory()

    with pytest.raises(CommandError, match="There is no season 2031."):
        call_command("check_books", season=2031)
