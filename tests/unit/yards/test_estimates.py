"""What a tally or a sample of a yard says of colonies nobody looked at one by one."""

from collections import Counter
from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from apiary_ops.yards.compute import (
    Estimate,
    Rule,
    from_sample,
    from_tally,
    grade_bands,
    grade_colony,
    standard_strength,
)
from apiary_ops.yards.compute.grades import Standing

LONG_AGO = date(2020, 1, 1)


def rule(place, grade, frames, sealed=None):
    return Rule(LONG_AGO, place, grade, Decimal(frames), None if sealed is None else Decimal(sealed))


RULES = (rule(1, "best", "5.5"), rule(2, "ordinary", "4.5"), rule(3, "slow", "3.5"), rule(4, "behind", "0"))
BEST = Estimate(Decimal("6.5"), Decimal("1.5"), Decimal("1.5"))
ORDINARY = Estimate(Decimal("5.0"), Decimal("1.0"), Decimal("1.0"))
SLOW = Estimate(Decimal("4.0"), Decimal("1.0"), Decimal("1.0"))


def looks(*frames):
    return [
        standard_strength(below_halves=round(2 * one), above_halves=None, temperature_c=Decimal(5), factors=(), boxes=2)
        for one in frames
    ]


def test_a_band_reaches_to_the_next_grade_and_the_strongest_two_frames_up():
    assert grade_bands(RULES) == {
        "best": (Decimal("5.5"), Decimal("7.5")),
        "ordinary": (Decimal("4.5"), Decimal("5.5")),
        "slow": (Decimal("3.5"), Decimal("4.5")),
        "behind": (Decimal(0), Decimal("3.5")),
    }


def test_two_rules_of_one_strength_share_their_band():
    rules = (rule(1, "best", 5, sealed=2), rule(2, "good", 5), rule(3, "rest", 0))

    assert grade_bands(rules)["best"] == grade_bands(rules)["good"] == (Decimal(5), Decimal(7))


def test_a_tally_gives_each_colony_the_middle_of_a_grade():
    told = from_tally({"best": 1, "ordinary": 2, "slow": 1}, [], 4, RULES)

    assert Counter(told) == {BEST: 1, ORDINARY: 2, SLOW: 1}


def test_every_stretch_of_the_walk_has_its_share_of_the_strong():
    told = from_tally({"best": 10, "slow": 10}, [], 20, RULES)

    assert [told[start : start + 5].count(BEST) for start in (0, 5, 10, 15)] in ([2, 3, 2, 3], [3, 2, 3, 2])


def test_the_dead_of_a_tally_get_no_strength():
    told = from_tally({"best": 3}, [], 5, RULES)

    assert (told.count(BEST), told.count(None)) == (3, 2)


def test_colonies_looked_at_are_taken_off_the_tally():
    looked = [(Decimal("6.5"), None), (Decimal("4.8"), None)]

    told = from_tally({"best": 2, "ordinary": 2}, looked, 2, RULES)

    assert Counter(told) == {BEST: 1, ORDINARY: 1}


def test_a_look_the_tally_saw_otherwise_is_taken_off_the_nearest_grade():
    near = from_tally({"ordinary": 1, "behind": 1}, [(Decimal("4.0"), None)], 1, RULES)
    equally_near = from_tally({"best": 1, "slow": 1}, [(Decimal("5.0"), None)], 1, RULES)

    assert near[0].frames == Decimal("1.8")
    assert equally_near == [SLOW]  # the stronger goes: rather too few than too many


def test_colonies_gone_since_are_lost_evenly_from_all_grades():
    told = from_tally({"best": 10, "slow": 10}, [], 10, RULES)

    assert Counter(told) == {BEST: 5, SLOW: 5}


def test_a_grade_the_rules_do_not_name_says_nothing():
    assert from_tally({"splendid": 2}, [], 2, RULES) == [None, None]


def test_a_sample_gives_the_others_its_quantiles():
    told = from_sample(looks(3, 4, 5, 6), 4)

    assert sorted(one.frames for one in told) == [Decimal(3), Decimal(4), Decimal(5), Decimal(6)]


# Deviation 1.291 of four, so 2 x 1.291 / 2 = 1.29, times the root of the unseen half, 0.707: 0.9; looks err 0.5.
def test_a_sample_is_off_by_its_own_error_besides_the_looks():
    told = from_sample(looks(3, 4, 5, 6), 4)

    assert {(one.spread, one.shared_spread) for one in told} == {(Decimal("1.4"), Decimal("0.9"))}


def test_a_larger_sample_is_off_by_less():
    few, many = from_sample(looks(3, 4, 5, 6), 20)[0], from_sample(looks(*[3, 4, 5, 6] * 3), 12)[0]

    assert many.shared_spread < few.shared_spread


def test_three_colonies_are_no_sample():
    assert from_sample(looks(5, 5, 6), 2) == [None, None]


@pytest.mark.parametrize("at", [Decimal(5), Decimal(16), None])
def test_what_cool_counts_from_below_err_by_averages_out_and_a_doubtful_factor_does_not(at):
    from apiary_ops.yards.compute import Factor

    warm = Factor("below", Decimal(15), Decimal("0.8"), LONG_AGO)
    found = standard_strength(below_halves=12, above_halves=None, temperature_c=at, factors=(warm,), boxes=2)

    assert found.shared_spread == {Decimal(5): Decimal(0), Decimal(16): Decimal("0.6"), None: Decimal("0.6")}[at]


counts = st.fixed_dictionaries({grade: st.integers(0, 12) for grade in ("best", "ordinary", "slow", "behind")})


@given(counts, st.integers(0, 40))
def test_a_tally_never_makes_colonies(by_grade, places):
    told = from_tally(by_grade, [], places, RULES)

    alive = sum(by_grade.values())
    assert (len(told), sum(one is not None for one in told)) == (places, min(places, alive))


@given(counts)
def test_graded_again_a_tally_says_what_was_tallied(by_grade):
    told = from_tally(by_grade, [], sum(by_grade.values()), RULES)

    grades = Counter(grade_colony(Standing(strength=one.frames), RULES).grade for one in told)
    assert grades == Counter({grade: number for grade, number in by_grade.items() if number})


@given(st.lists(st.integers(0, 20), min_size=4, max_size=30), st.integers(1, 60))
def test_estimates_stay_within_what_the_sample_saw(halves, places):
    sample = looks(*[half / 2 for half in halves])

    told = from_sample(sample, places)

    seen = [one.frames for one in sample]
    assert all(min(seen) <= one.frames <= max(seen) and one.spread >= one.shared_spread for one in told)
