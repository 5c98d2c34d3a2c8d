"""The history of a record, in the words people chose."""

import pytest

from apiary_ops.core.history import Change, history_rows
from tests.factories.people import UserFactory
from tests.factories.yards import ColonyFactory

pytestmark = pytest.mark.django_db


def test_a_change_names_who_and_both_values_in_words():
    colony = ColonyFactory(purpose="nucs")
    colony.purpose = "drones"
    colony.version = 2
    colony._history_user = UserFactory(full_name="Ada Fell")
    colony.save()

    newest, first = history_rows(colony)

    assert (newest.what, newest.who) == ("Changed", "Ada Fell")
    assert newest.changes == (Change("kept for", "nucs", "drone mother"),)
    assert (first.what, first.who, first.changes) == ("Recorded", "", ())


def test_a_save_that_changed_nothing_is_left_out():
    colony = ColonyFactory()
    colony.save()

    rows = history_rows(colony)

    assert [row.what for row in rows] == ["Recorded"]
