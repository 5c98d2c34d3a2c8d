"""Guards hold on both engines, and what is installed is what is declared."""

import pytest
from django.db import IntegrityError, connection, transaction

from apiary_ops.business.models import Terms
from apiary_ops.core import guards
from tests.factories.business import SeasonFactory, TermsFactory

pytestmark = pytest.mark.django_db


def test_every_declared_guard_is_installed_and_no_other():
    assert guards.installed(connection) == set(guards.declared())


def test_a_guard_refuses_as_an_integrity_error_with_its_message():
    terms = TermsFactory()

    with pytest.raises(IntegrityError, match="state new terms with a later date"), transaction.atomic():
        Terms.objects.filter(pk=terms.pk).update(due_days=1)

    terms.refresh_from_db()
    assert terms.due_days == 14


def test_a_season_cannot_be_deleted_behind_the_services():
    season = SeasonFactory()

    with pytest.raises(IntegrityError, match="never deleted"), transaction.atomic():
        season.delete()
