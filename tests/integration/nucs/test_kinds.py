"""Kinds of nuc: recipes and standards."""

from datetime import date
from decimal import Decimal

import pytest

from apiary_ops.nucs import queries, services
from apiary_ops.nucs.models import NucKind
from tests.factories.nucs import NucKindFactory, made_batch
from tests.factories.people import UserFactory

pytestmark = pytest.mark.django_db


def test_the_reference_kinds_are_installed_once():
    first = services.install_reference_kinds()
    again = services.install_reference_kinds()

    assert (first, again) == (2, 0)
    five = NucKind.objects.get(code="spring-5")
    assert (five.frames, five.make_up_bees, five.sale_covered, five.sale_brood) == (5, Decimal("2.5"), 4, 3)
    assert five.queen_laying_rate == Decimal("0.840")


def test_a_kind_is_added_with_its_history():
    owner = UserFactory()

    kind = services.add_kind(
        code="late-3",
        name="3-frame late nuc",
        frames=3,
        make_up_bees=Decimal(2),
        make_up_brood=Decimal(1),
        make_up_food=Decimal(1),
        make_up_combs=Decimal(1),
        sale_covered=Decimal(3),
        sale_brood=Decimal(2),
        sale_food=Decimal(1),
        actor=owner,
    )

    assert queries.kinds().get() == kind
    assert kind.history.get().history_user == owner


def test_a_code_names_one_kind():
    NucKindFactory(code="spring-5")

    with pytest.raises(services.KindExists, match="already a kind with the code spring-5"):
        services.add_kind(code="spring-5", name="Other", frames=5, actor=None)


def test_a_standard_fits_its_box():
    kind = NucKindFactory()

    with pytest.raises(services.KindImpossible) as refusal:
        services.edit_kind(kind_id=kind.pk, version=1, changes={"sale_covered": Decimal(6)}, actor=UserFactory())

    assert str(refusal.value) == "A nuc cannot cover more frames than its box holds."


def test_a_changed_standard_judges_the_nucs_in_hand_anew():
    batch = made_batch(1)
    nuc = batch.nucs.get()
    services.record_check(
        nuc_id=nuc.pk,
        on=date(2027, 6, 1),
        actor=UserFactory(),
        queen="laying",
        covered_halves=8,
        brood_halves=6,
        own_sealed_brood=True,
        food_halves=2,
        queen_cells=False,
        disease_clear=True,
    )
    nuc.refresh_from_db()
    assert nuc.ready_on == date(2027, 6, 1)

    services.edit_kind(kind_id=batch.kind_id, version=1, changes={"sale_covered": Decimal("4.5")}, actor=UserFactory())

    nuc.refresh_from_db()
    assert nuc.ready_on is None
    assert queries.readiness(nuc, date(2027, 6, 1)).missing == ("4 of 4½ frames covered",)
