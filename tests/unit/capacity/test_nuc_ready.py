"""A made-up nuc growing to its sale standard."""

from datetime import date, timedelta

from apiary_ops.capacity.compute import nuc_ready_on

NUC = {
    "made_up_on": date(2027, 5, 5),
    "bees_frames": 2.25,
    "sealed_frames": 2,
    "laying_on": date(2027, 5, 14),
    "sale_bees_frames": 4,
    "sale_brood_frames": 3,
}


def test_a_queen_who_lays_later_makes_a_later_nuc():
    early = nuc_ready_on(**NUC)
    late = nuc_ready_on(**{**NUC, "laying_on": date(2027, 5, 17)})

    assert early is not None
    assert late is not None
    assert early < late


def test_a_nuc_without_its_own_brood_is_never_ready():
    assert nuc_ready_on(**{**NUC, "laying_on": date(2027, 9, 1)}) is None


def test_a_nuc_is_not_ready_while_given_brood_is_in_it():
    ready_on = nuc_ready_on(**{**NUC, "bees_frames": 6, "laying_on": NUC["made_up_on"], "sale_brood_frames": 1})

    assert ready_on == NUC["made_up_on"] + timedelta(days=12)


def test_a_nuc_that_is_not_ready_in_time_has_no_date():
    assert nuc_ready_on(**NUC, within_days=12) is None
