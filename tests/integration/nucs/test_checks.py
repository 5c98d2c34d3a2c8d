"""Checks: what was seen moves states and says when a nuc is ready."""

from datetime import date
from uuid import uuid4

import pytest
from django.db import IntegrityError, transaction

from apiary_ops.core.once import AlreadyDone
from apiary_ops.nucs import queries, services
from apiary_ops.nucs.models import Check
from tests.factories.nucs import CheckFactory, made_batch
from tests.factories.people import UserFactory
from tests.factories.queens import received_lot

pytestmark = pytest.mark.django_db

GOOD = {
    "queen": "laying",
    "covered_halves": 8,
    "brood_halves": 6,
    "own_sealed_brood": True,
    "food_halves": 2,
    "queen_cells": False,
    "disease_clear": True,
}


@pytest.fixture
def crew():
    return UserFactory(crew=True)


@pytest.fixture
def nuc():
    return made_batch(1).nucs.get()


def look(nuc, crew, day, **seen):
    check = services.record_check(nuc_id=nuc.pk, on=date(2027, *day), actor=crew, **seen)
    nuc.refresh_from_db()
    return check


def test_a_queen_seen_laying_makes_the_nuc_laying(nuc, crew):
    check = look(nuc, crew, (5, 14), queen="laying")

    assert nuc.state == "laying"
    assert check.recorded_by == crew
    assert nuc.history.first().history_user == crew


def test_a_released_queen_is_not_yet_laying(nuc, crew):
    look(nuc, crew, (5, 9), queen="released")

    assert nuc.state == "queened"


def test_a_missing_queen_makes_the_nuc_failed(nuc, crew):
    look(nuc, crew, (5, 14), queen="laying")
    look(nuc, crew, (5, 20), queen="missing")

    assert nuc.state == "failed"


def test_a_queen_given_up_for_lost_may_turn_up_laying(nuc, crew):
    look(nuc, crew, (5, 14), queen="missing")
    look(nuc, crew, (5, 18), queen="laying")

    assert nuc.state == "laying"


def test_a_check_written_up_late_does_not_undo_a_later_one(nuc, crew):
    look(nuc, crew, (5, 18), queen="laying")
    look(nuc, crew, (5, 14), queen="missing")

    assert nuc.state == "laying"


def test_a_late_word_of_a_missing_queen_counts_where_she_was_only_seen_since(nuc, crew):
    look(nuc, crew, (5, 12), queen="laying")
    look(nuc, crew, (5, 20), queen="released")

    look(nuc, crew, (5, 16), queen="missing")

    assert nuc.state == "queened"


def test_a_nuc_that_meets_its_standard_is_ready_from_that_day(nuc, crew):
    look(nuc, crew, (6, 1), **GOOD)

    found = queries.readiness(nuc, date(2027, 6, 2))
    assert nuc.ready_on == date(2027, 6, 1)
    assert (found.is_ready, found.missing, found.collect_by) == (True, (), date(2027, 6, 11))


def test_a_good_nuc_still_with_foreign_brood_waits_for_its_day(nuc, crew):
    look(nuc, crew, (5, 20), **GOOD)

    assert nuc.ready_on == date(2027, 5, 25)
    assert queries.readiness(nuc, date(2027, 5, 24)).missing == ("all brood of its own queen only from Tue 25 May",)


def test_a_nuc_is_not_ready_while_something_was_not_looked_at(nuc, crew):
    look(nuc, crew, (6, 1), **{**GOOD, "brood_halves": None})

    assert nuc.ready_on is None
    assert queries.readiness(nuc, date(2027, 6, 1)).missing == ("brood not looked at",)


def test_queen_cells_take_a_ready_nuc_off_the_list_until_they_are_gone(nuc, crew):
    look(nuc, crew, (6, 1), **GOOD)
    look(nuc, crew, (6, 4), queen_cells=True)
    assert nuc.ready_on is None

    look(nuc, crew, (6, 8), queen_cells=False)

    assert nuc.ready_on == date(2027, 6, 8)


def test_a_requeened_nuc_starts_again(nuc, crew):
    look(nuc, crew, (5, 14), queen="laying")
    look(nuc, crew, (5, 22), queen="missing")
    services.requeen(nuc_id=nuc.pk, lot_id=received_lot(received=1).pk, on=date(2027, 5, 23), actor=crew)
    look(nuc, crew, (6, 8), **GOOD)

    assert nuc.state == "laying"
    assert nuc.ready_on == date(2027, 6, 13)  # 21 days after the change of queens


def test_what_was_seen_before_a_new_queen_does_not_count_for_her(nuc, crew):
    look(nuc, crew, (5, 20), **GOOD)
    look(nuc, crew, (5, 22), queen="missing")
    services.requeen(nuc_id=nuc.pk, lot_id=received_lot(received=1).pk, on=date(2027, 5, 23), actor=crew)
    look(nuc, crew, (6, 2), queen="laying")

    assert nuc.state == "laying"
    assert "brood not looked at" in queries.readiness(nuc, date(2027, 6, 20)).missing


@pytest.mark.parametrize(
    ("day", "seen", "words"),
    [
        ((5, 3), {"covered_halves": 4}, "Nuc 1 was not yet made up on that day. Choose a later day."),
        ((5, 4), {"queen": "laying"}, "The queen of nuc 1 went in after that day. Choose a later day."),
        ((5, 14), {}, "Nothing was recorded of nuc 1. Enter what was seen, or leave it out."),
        ((5, 14), {"covered_halves": 11}, "Nuc 1 has 5 frames; more were counted. Count again."),
    ],
)
def test_a_check_that_cannot_be_is_refused_with_the_reason(nuc, crew, day, seen, words):
    with pytest.raises(services.CheckRefused) as refusal:
        look(nuc, crew, day, **seen)

    assert str(refusal.value) == words
    assert refusal.value.nuc_id == nuc.pk
    assert not Check.objects.exists()


def test_a_nuc_without_a_queen_has_none_laying(crew):
    nuc = made_batch(1, queened=False).nucs.get()

    with pytest.raises(services.CheckRefused, match="was given no queen yet"):
        look(nuc, crew, (5, 14), queen="laying")


def test_a_nuc_that_left_is_not_checked(nuc, crew):
    services.end_nuc(nuc_id=nuc.pk, state="lost", on=date(2027, 5, 12), cause="robbed out", actor=crew)

    with pytest.raises(services.CheckRefused, match="Nuc 1 has left: it is lost"):
        look(nuc, crew, (5, 14), covered_halves=4)


def test_a_round_of_checks_is_recorded_whole_or_not_at_all(crew):
    nucs = list(made_batch(3).nucs.order_by("number"))
    drafts = [services.CheckDraft(nuc.pk, **GOOD) for nuc in nucs]

    with pytest.raises(services.CheckRefused):
        services.record_checks(on=date(2027, 6, 1), drafts=[*drafts[:2], services.CheckDraft(nucs[2].pk)], actor=crew)
    assert not Check.objects.exists()

    services.record_checks(on=date(2027, 6, 1), drafts=drafts, actor=crew)

    assert queries.ready_nucs(nucs[0].season_id, on=date(2027, 6, 1)).count() == 3


def test_a_round_of_many_nucs_takes_a_bounded_number_of_queries(crew, django_assert_max_num_queries):
    nucs = list(made_batch(20).nucs.all())
    drafts = [services.CheckDraft(nuc.pk, **GOOD) for nuc in nucs]

    with django_assert_max_num_queries(24):
        services.record_checks(on=date(2027, 6, 1), drafts=drafts, actor=crew)


def test_a_round_sent_twice_is_recorded_once(nuc, crew):
    key = uuid4()
    drafts = [services.CheckDraft(nuc.pk, **GOOD)]
    services.record_checks(on=date(2027, 6, 1), drafts=drafts, actor=crew, once_key=key)

    with pytest.raises(AlreadyDone) as again:
        services.record_checks(on=date(2027, 6, 1), drafts=drafts, actor=crew, once_key=key)

    assert again.value.result == f"/nucs/batches/{nuc.batch_id}/"
    assert Check.objects.count() == 1


def test_a_check_never_changes_and_is_not_before_make_up(nuc, crew):
    check = look(nuc, crew, (5, 14), covered_halves=6)

    with pytest.raises(IntegrityError, match="never changes"), transaction.atomic():
        Check.objects.filter(pk=check.pk).update(covered_halves=8)
    with pytest.raises(IntegrityError, match="before it was made up"), transaction.atomic():
        CheckFactory(nuc=nuc, on=date(2027, 5, 3))
