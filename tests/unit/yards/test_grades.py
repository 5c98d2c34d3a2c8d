"""Grades by ordered, dated rules; what keeps a colony out comes first."""

from datetime import date
from decimal import Decimal

from hypothesis import given
from hypothesis import strategies as st

from apiary_ops.yards.compute import Grading, Rule, Standing, grade_colony, never_reached, rule_set_on

MARCH = date(2027, 3, 1)


def rule(place, grade, frames, sealed=None, gives_nucs=True, valid_from=MARCH):
    asked = None if sealed is None else Decimal(str(sealed))
    return Rule(valid_from, place, grade, Decimal(str(frames)), asked, gives_nucs)


RULES = (
    rule(1, "best", 5.5),
    rule(2, "ordinary", 4.5),
    rule(3, "slow", 3.5),
    rule(4, "behind", 0, gives_nucs=False),
)


def standing(strength=5, **more):
    return Standing(strength=None if strength is None else Decimal(str(strength)), **more)


def test_the_first_rule_that_matches_names_the_grade_and_itself():
    assert grade_colony(standing(5.5), RULES) == Grading("best", "rule 1 of 1 Mar 2027: best from 5.5 frames", True, "")
    assert grade_colony(standing(5.4), RULES).grade == "ordinary"
    assert grade_colony(standing(4.5), RULES).grade == "ordinary"
    assert grade_colony(standing(4.4), RULES).grade == "slow"


def test_a_grade_may_give_no_nucs():
    assert grade_colony(standing(2), RULES) == Grading(
        "behind", "rule 4 of 1 Mar 2027: behind from 0 frames", False, "graded behind, which gives no nucs"
    )


def test_reasons_to_leave_out_come_first_and_in_their_order():
    every = {"kept_for": "honey", "on_hold": "disease suspected in C0001", "queen": "none"}

    assert grade_colony(standing(9, **every), RULES) == Grading("", "", False, "kept for honey")
    del every["kept_for"]
    assert grade_colony(standing(9, **every), RULES) == Grading("", "", False, "on hold: disease suspected in C0001")
    del every["on_hold"]
    assert grade_colony(standing(9, **every), RULES) == Grading("", "", False, "queenless")
    assert grade_colony(standing(None), RULES) == Grading("", "", False, "not counted this season")


def test_a_drone_layer_is_left_out_and_a_spotty_queen_is_not():
    assert grade_colony(standing(9, queen="drones"), RULES).left_out_because == "its queen lays drones only"
    assert grade_colony(standing(9, queen="spotty"), RULES).grade == "best"
    assert grade_colony(standing(9, queen="seen"), RULES).grade == "best"


def test_sealed_brood_not_looked_at_never_satisfies_a_rule_that_asks_for_it():
    rules = (rule(1, "best", 5.5, sealed=2), rule(2, "ordinary", 0))

    assert grade_colony(standing(6), rules).grade == "ordinary"
    assert grade_colony(standing(6, sealed=Decimal("1.5")), rules).grade == "ordinary"
    assert grade_colony(standing(6, sealed=Decimal(2)), rules).grade == "best"
    assert rules[0].words == "rule 1 of 1 Mar 2027: best from 5.5 frames and 2 of sealed brood"


def test_without_a_rule_that_takes_it_a_colony_is_left_out_with_the_reason():
    assert grade_colony(standing(3), RULES[:1]).left_out_because == "no grade rule takes 3 frames"
    assert grade_colony(standing(3), ()).left_out_because == "no grade rule takes 3 frames"


def test_the_latest_set_begun_is_in_force_and_none_before_the_first():
    later = rule(1, "strong", 0, valid_from=date(2027, 4, 1))

    assert rule_set_on([*RULES, later], date(2027, 3, 31)) == RULES
    assert rule_set_on([*reversed(RULES)], MARCH) == RULES
    assert rule_set_on([*RULES, later], date(2027, 4, 1)) == (later,)
    assert rule_set_on(RULES, date(2027, 2, 28)) == ()


def test_a_rule_hidden_behind_a_laxer_one_is_found():
    lax, strict = rule(1, "ordinary", 4), rule(2, "best", 6)

    assert never_reached([lax, strict]) == (strict, lax)
    assert never_reached([rule(1, "best", 6, sealed=2), rule(2, "good", 6), rule(3, "rest", 0)]) is None
    assert never_reached(RULES) is None


frames = st.decimals(0, 20, places=1)
sealed = st.one_of(st.none(), frames)
rule_lists = st.lists(st.tuples(frames, sealed, st.booleans()), max_size=6).map(
    lambda rows: [
        Rule(MARCH, place, f"grade {place}", least, brood, gives)
        for place, (least, brood, gives) in enumerate(rows, start=1)
    ]
)
standings = st.builds(
    Standing,
    kept_for=st.sampled_from(["", "honey"]),
    on_hold=st.sampled_from(["", "spray"]),
    queen=st.sampled_from(["", "seen", "spotty", "none", "drones"]),
    strength=st.one_of(st.none(), frames),
    sealed=sealed,
)


@given(standings, rule_lists)
def test_every_colony_gets_one_answer_with_its_reason(colony, rules):
    found = grade_colony(colony, rules)

    assert found == grade_colony(colony, rules)
    assert found.gives_nucs is (found.left_out_because == "")
    assert (found.grade == "") == (found.rule == "")
    assert found.grade != "" or found.left_out_because != ""


@given(frames, frames, sealed, rule_lists)
def test_more_bees_never_give_a_later_rule(one, other, brood, rules):
    fewer, more = sorted([one, other])

    assert _place(more, brood, rules) <= _place(fewer, brood, rules)


@given(frames, frames, frames, rule_lists)
def test_more_sealed_brood_never_gives_a_later_rule(bees, one, other, rules):
    fewer, more = sorted([one, other])

    assert _place(bees, more, rules) <= _place(bees, fewer, rules) <= _place(bees, None, rules)


@given(rule_lists, frames, sealed)
def test_a_rule_that_is_never_reached_never_matches(rules, bees, brood):
    hidden = never_reached(rules)

    if hidden is not None:
        assert _place(bees, brood, rules) != hidden[0].place


def _place(strength, sealed, rules):
    found = grade_colony(Standing(strength=strength, sealed=sealed), rules)
    return next((rule.place for rule in rules if rule.words == found.rule), 99)
