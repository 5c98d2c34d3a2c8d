"""A sheet typed in at once: new looks and corrections, all or none."""

from datetime import date
from decimal import Decimal
from uuid import uuid4

import pytest

from apiary_ops.core.once import AlreadyDone
from apiary_ops.core.versions import StaleRecord
from apiary_ops.yards import services
from apiary_ops.yards.models import Look
from apiary_ops.yards.services import LookCorrection, LookDraft
from tests.factories.yards import ColonyFactory, LookFactory, VisitFactory, YardFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def visit():
    return VisitFactory(yard=YardFactory(name="Mill Lane"), on=date(2027, 4, 3), temperature_c=Decimal(6))


@pytest.fixture
def looked(visit):
    return LookFactory(visit=visit, colony=ColonyFactory(yard=visit.yard, tag="A1"), below_halves=12)


@pytest.fixture
def unlooked(visit):
    return ColonyFactory(yard=visit.yard, tag="B2")


def test_new_looks_and_corrections_land_together(visit, looked, unlooked, ada):
    recorded = services.record_grid(
        visit_id=visit.pk,
        looks=[LookDraft(unlooked.pk, below_halves=9, sealed_halves=2)],
        corrections=[LookCorrection(looked.pk, 1, {"below_halves": 11, "queen": "seen"})],
        actor=ada,
    )

    looked.refresh_from_db()
    assert (looked.below_halves, looked.queen, looked.version) == (11, "seen", 2)
    assert Look.objects.get(colony=unlooked).below_halves == 9
    assert [look.colony.tag for look in recorded.looks] == ["B2", "A1"]
    assert len(recorded.warnings) == 1  # the cold is said once


def test_one_refused_correction_leaves_no_row_of_the_sheet(visit, looked, unlooked, ada):
    with pytest.raises(services.TooManyFrames):
        services.record_grid(
            visit_id=visit.pk,
            looks=[LookDraft(unlooked.pk, below_halves=9)],
            corrections=[LookCorrection(looked.pk, 1, {"below_halves": 41})],
            actor=ada,
        )

    assert not Look.objects.filter(colony=unlooked).exists()


def test_a_sheet_typed_over_somebody_elses_correction_is_a_question(visit, looked, unlooked, ada):
    services.correct_look(look_id=looked.pk, version=1, changes={"below_halves": 10}, actor=ada)

    with pytest.raises(StaleRecord):
        services.record_grid(
            visit_id=visit.pk,
            looks=[LookDraft(unlooked.pk, below_halves=9)],
            corrections=[LookCorrection(looked.pk, 1, {"below_halves": 11})],
            actor=ada,
        )

    assert Look.objects.count() == 1


def test_a_sheet_sent_twice_is_noted_once(visit, unlooked, ada):
    values = {"visit_id": visit.pk, "looks": [LookDraft(unlooked.pk, below_halves=9)], "once_key": uuid4()}
    services.record_grid(actor=ada, **values)

    with pytest.raises(AlreadyDone) as refusal:
        services.record_grid(actor=ada, **values)

    assert refusal.value.result == f"visit:{visit.pk}"
