from dataclasses import replace

import pytest

from apiary_ops.allocation.compute import Outcome, Take, allocate

from .season import line, nucs, places, said, week


def test_the_earlier_payer_is_served_first():
    batch = nucs("batch", 4, (0, 1))

    plan = allocate([line("late", 3, (0, 1), turn=2), line("early", 3, (0, 1), turn=1)], [batch])

    assert plan.outcomes == (
        Outcome(
            "early", (Take(week(0), "spring", "batch", 3),), 3, 0, "Given the week of 3 May, the earliest it can take."
        ),
        Outcome(
            "late",
            (),
            3,
            3,
            "Short of 3: it goes whole, and the best of its weeks had only 1 left after the lines before it.",
        ),
    )


def test_a_line_keeps_the_week_it_was_told_even_when_an_earlier_one_is_open():
    plan = allocate([line("a", 2, (0, 3), told=2)], [nucs("batch", 2, (0, 3))])

    assert places(plan) == {"a": [(2, "spring", 2)]}
    assert said(plan) == {"a": "Given the week it was told."}


def test_the_week_told_in_a_substitute_comes_before_another_week_in_its_own_kind():
    supplies = [nucs("own", 2, (2, 2), kind="winter"), nucs("other", 2, (1, 1))]

    plan = allocate([line("a", 2, (0, 3), told=1, kinds="winter spring")], supplies)

    assert places(plan) == {"a": [(1, "spring", 2)]}
    assert said(plan) == {"a": "Given the week it was told in spring, because winter ran short."}


def test_own_kind_in_a_later_week_comes_before_a_substitute_when_nothing_was_told():
    supplies = [nucs("own", 2, (2, 2), kind="winter"), nucs("other", 2, (1, 1))]

    plan = allocate([line("a", 2, (0, 3), kinds="winter spring")], supplies)

    assert places(plan) == {"a": [(2, "winter", 2)]}
    assert said(plan) == {"a": "Given the week of 17 May, the first with all 2 free."}


def test_a_substitute_is_given_when_its_own_kind_is_not_to_be_had():
    plan = allocate([line("a", 2, (0, 3), kinds="winter spring")], [nucs("other", 2, (1, 1))])

    assert said(plan) == {"a": "Given the week of 10 May in spring, because winter ran short."}


def test_a_line_that_loses_its_week_goes_earlier_rather_than_later_and_no_further_than_needed():
    supplies = [nucs("first", 2, (0, 0)), nucs("second", 2, (1, 1)), nucs("third", 2, (3, 3))]

    plan = allocate([line("a", 2, (0, 3), told=2)], supplies)

    assert places(plan) == {"a": [(1, "spring", 2)]}
    assert said(plan) == {"a": "Moved to the week of 10 May: the week told had nothing ready."}


def test_a_substitute_before_the_week_told_comes_before_its_own_kind_after_it():
    supplies = [nucs("own", 2, (3, 3), kind="winter"), nucs("other", 2, (0, 0))]

    plan = allocate([line("a", 2, (0, 3), told=2, kinds="winter spring")], supplies)

    assert places(plan) == {"a": [(0, "spring", 2)]}


def test_its_own_kind_before_the_week_told_comes_before_a_nearer_substitute():
    supplies = [nucs("own", 2, (0, 0), kind="winter"), nucs("other", 2, (1, 1))]

    plan = allocate([line("a", 2, (0, 3), told=2, kinds="winter spring")], supplies)

    assert places(plan) == {"a": [(0, "winter", 2)]}


def test_a_line_is_moved_when_a_line_before_it_took_what_stood_in_its_week():
    lines = [line("a", 3, (0, 0), told=0), line("b", 4, (0, 1), told=0)]

    plan = allocate(lines, [nucs("first", 5, (0, 0)), nucs("second", 4, (1, 1))])

    assert places(plan) == {"a": [(0, "spring", 3)], "b": [(1, "spring", 4)]}
    assert said(plan)["b"] == ("Moved to the week of 10 May: the week told had only 2 left after the lines before it.")


def test_a_line_told_a_week_it_can_no_longer_take_hears_so():
    plan = allocate([line("a", 1, (1, 2), told=0)], [nucs("batch", 1, (0, 1))])

    assert said(plan) == {"a": "Moved to the week of 10 May: the week told is not one it can take."}


def test_a_move_into_a_substitute_names_it():
    plan = allocate([line("a", 1, (0, 1), told=0, kinds="winter spring")], [nucs("batch", 1, (1, 1))])

    assert said(plan) == {"a": "Moved to the week of 10 May in spring: the week told had nothing ready."}


def test_an_earlier_line_changes_batch_so_that_a_later_one_is_served():
    lines = [line("a", 2, (1, 1)), line("b", 2, (0, 0))]
    supplies = [nucs("long", 2, (0, 1)), nucs("short", 2, (1, 1))]

    plan = allocate(lines, supplies)

    assert plan.outcomes[0].takes == (Take(week(1), "spring", "short", 2),)
    assert plan.outcomes[1].takes == (Take(week(0), "spring", "long", 2),)


def test_a_chain_of_batches_makes_room_two_weeks_away():
    lines = [line("a", 1, (2, 2)), line("b", 1, (1, 1)), line("c", 1, (0, 0))]
    supplies = [nucs("first", 1, (0, 1)), nucs("second", 1, (1, 2)), nucs("third", 1, (2, 3))]

    plan = allocate(lines, supplies)

    assert [outcome.takes[0].supply_key for outcome in plan.outcomes] == ["third", "second", "first"]


def test_no_place_is_given_that_would_break_an_earlier_one():
    lines = [line("a", 2, (1, 1)), line("b", 1, (0, 0))]

    plan = allocate(lines, [nucs("batch", 2, (0, 1))])

    assert places(plan) == {"a": [(1, "spring", 2)], "b": []}
    assert said(plan)["b"] == "Short of 1: its weeks had nothing left after the lines before it."


def test_nucs_are_not_given_before_they_are_ready_or_after_their_collect_by():
    lines = [line("before", 1, (0, 0)), line("after", 1, (3, 3))]

    plan = allocate(lines, [nucs("batch", 2, (1, 2))])

    assert places(plan) == {"after": [], "before": []}
    assert set(said(plan).values()) == {"Short of 1: its weeks had nothing ready."}


def test_nucs_at_another_yard_do_not_serve_a_line():
    lines = [line("a", 1, (0, 0), yard="north"), line("b", 1, (0, 0), yard="south"), line("c", 1, (0, 0))]

    plan = allocate(lines, [nucs("there", 1, (0, 0), yard="south"), nucs("anywhere", 1, (0, 0))])

    assert {outcome.key: [take.supply_key for take in outcome.takes] for outcome in plan.outcomes} == {
        "a": ["anywhere"],
        "b": ["there"],
        "c": [],
    }


def test_a_whole_line_is_passed_over_and_a_smaller_one_after_it_served():
    plan = allocate([line("a", 5, (0, 1)), line("b", 2, (0, 1))], [nucs("batch", 2, (0, 1))])

    assert places(plan) == {"a": [], "b": [(0, "spring", 2)]}
    assert said(plan)["a"] == "Short of 5: it goes whole, and the best of its weeks had only 2 ready."


def test_a_whole_line_is_not_split_over_two_weeks_or_kinds():
    supplies = [nucs("first", 2, (0, 0)), nucs("second", 2, (1, 1)), nucs("other", 2, (0, 0), kind="winter")]

    plan = allocate([line("a", 4, (0, 1), kinds="spring winter")], supplies)

    assert places(plan) == {"a": []}


def test_part_loads_are_filled_week_by_week_from_the_week_told():
    supplies = [nucs(f"batch {number}", 2, (number, number)) for number in range(4)]

    plan = allocate([line("a", 7, (0, 3), told=2, part_loads=True)], supplies)

    assert places(plan) == {"a": [(2, "spring", 2), (1, "spring", 2), (0, "spring", 2), (3, "spring", 1)]}
    assert said(plan) == {"a": "Given in 4 part loads, the first in the week of 3 May."}


def test_part_loads_take_a_substitute_in_a_nearer_week_before_their_own_kind_in_another():
    supplies = [nucs("own", 2, (2, 2), kind="winter"), nucs("other", 2, (1, 1))]

    plan = allocate([line("a", 3, (0, 3), kinds="winter spring", part_loads=True)], supplies)

    assert places(plan) == {"a": [(1, "spring", 2), (2, "winter", 1)]}


def test_what_part_loads_cannot_cover_is_short():
    plan = allocate([line("a", 5, (0, 1), part_loads=True)], [nucs("batch", 3, (0, 1))])

    assert plan.outcomes[0].short == 2
    assert said(plan) == {"a": "Short of 2: of 5 asked, only 3 could be covered in its weeks."}


def test_part_loads_without_any_supply_are_short_of_all():
    plan = allocate([line("a", 5, (0, 1), part_loads=True)], [])

    assert said(plan) == {"a": "Short of 5: of 5 asked, none could be covered in its weeks."}


def test_part_loads_that_fit_in_one_week_are_told_as_one():
    lines = [line("a", 2, (0, 1), told=0, part_loads=True), line("b", 2, (0, 1), told=0, part_loads=True)]

    plan = allocate(lines, [nucs("first", 2, (0, 0)), nucs("second", 2, (1, 1))])

    assert said(plan) == {
        "a": "Given the week it was told.",
        "b": "Moved to the week of 10 May: the week told had nothing left after the lines before it.",
    }


def test_a_line_without_any_week_is_short():
    plan = allocate([line("a", 1, (2, 1))], [nucs("batch", 1, (0, 3))])

    assert said(plan) == {"a": "Short of 1: there is no week it can take."}


def test_a_place_that_opens_goes_to_the_first_line_that_wants_it_and_the_rest_stay():
    lines = [
        line("cancelled", 2, (0, 2), told=0),
        line("short", 2, (0, 0)),
        line("next", 2, (0, 2), told=1),
    ]
    supplies = [nucs("first", 2, (0, 0)), nucs("second", 2, (1, 1))]

    before = allocate(lines, supplies)
    after = allocate(lines[1:], supplies)

    assert places(before) == {"cancelled": [(0, "spring", 2)], "next": [(1, "spring", 2)], "short": []}
    assert places(after) == {"next": [(1, "spring", 2)], "short": [(0, "spring", 2)]}


def test_nucs_that_must_go_first_are_taken_first():
    plan = allocate([line("a", 3, (0, 0))], [nucs("keeps", 5, (0, 2)), nucs("must go", 2, (0, 0))])

    assert [(take.supply_key, take.quantity) for take in plan.outcomes[0].takes] == [("must go", 2), ("keeps", 1)]


def test_two_lines_with_one_key_are_refused():
    twin = line("a", 1, (0, 0))

    with pytest.raises(ValueError, match=r"^Two lines have the key a; give each its own\.$"):
        allocate([twin, replace(twin, priority=(9, "a"))], [])


def test_two_supplies_with_one_key_are_refused():
    batch = nucs("batch", 1, (0, 0))

    with pytest.raises(ValueError, match=r"^Two supplies have the key batch; give each its own\.$"):
        allocate([], [batch, batch])


def test_a_line_that_asks_for_nothing_is_refused():
    with pytest.raises(ValueError, match=r"^Line a asks for nothing; leave it out\.$"):
        line("a", 0, (0, 0))


def test_a_negative_count_is_refused():
    with pytest.raises(ValueError, match=r"^Supply batch counts -1 nucs; count them again\.$"):
        nucs("batch", -1, (0, 0))
