import pytest

from apiary_ops.allocation.compute import allocate

from .season import line, nucs, pin, places, said


def test_a_pin_goes_before_every_line():
    lines = [line("a", 2, (0, 1), told=0), line("b", 2, (0, 1), told=1)]

    plan = allocate(lines, [nucs("batch", 2, (0, 0)), nucs("next", 2, (1, 1))], [pin("b", 0)])

    assert places(plan) == {"a": [(1, "spring", 2)], "b": [(0, "spring", 2)]}
    assert said(plan)["b"] == "Pinned to the week of 3 May."
    assert plan.refused_pins == ()


def test_a_pin_to_a_substitute_names_it():
    plan = allocate([line("a", 1, (0, 0), kinds="winter spring")], [nucs("batch", 1, (0, 0))], [pin("a", 0)])

    assert said(plan) == {"a": "Pinned to the week of 3 May in spring."}


@pytest.mark.parametrize(
    ("asked", "reason"),
    [
        (pin("nobody", 0), "There is no such line to pin."),
        (pin("a", 1, "winter"), "The line takes spring, not winter."),
        (pin("a", 3), "The line can go from the week of 3 May to the week of 17 May only."),
        (pin("a", 2), "The line needs 2, and the week of 17 May had nothing ready."),
        (pin("a", 0), "The line needs 2, and the week of 3 May had only 1 ready."),
    ],
)
def test_an_impossible_pin_is_refused_and_its_line_served_in_turn(asked, reason):
    supplies = [nucs("early", 1, (0, 0)), nucs("batch", 2, (1, 1)), nucs("other", 2, (1, 1), kind="winter")]

    plan = allocate([line("a", 2, (0, 2))], supplies, [asked])

    assert plan.refused_pins == ((asked, reason),)
    assert places(plan) == {"a": [(1, "spring", 2)]}


def test_of_two_pins_for_the_same_nucs_the_line_with_priority_keeps_its_own():
    lines = [line("a", 2, (0, 1), turn=2), line("b", 2, (0, 1), turn=1)]

    plan = allocate(lines, [nucs("batch", 3, (0, 0))], [pin("a", 0), pin("b", 0)])

    assert places(plan) == {"b": [(0, "spring", 2)], "a": []}
    assert plan.refused_pins == (
        (pin("a", 0), "The line needs 2, and the week of 3 May had only 1 left after the pins before it."),
    )


def test_a_line_is_pinned_once():
    plan = allocate([line("a", 1, (0, 1))], [nucs("batch", 1, (0, 1))], [pin("a", 1), pin("a", 0)])

    assert plan.refused_pins == ((pin("a", 1), "The line is already pinned to the week of 3 May."),)
