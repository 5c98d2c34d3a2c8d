from apiary_ops.allocation.compute import Take
from apiary_ops.allocation.compute.weeks import WeekRow, week_rows

from .season import nucs, week


def take(key: str, number: int, quantity: int, kind: str = "spring") -> Take:
    return Take(week(number), kind, key, quantity)


def rows(*args, first: int = 0) -> list[tuple[int, str, int, int, int, int]]:
    return [
        ((row.week - week(0)).days // 7, row.kind, row.told, row.given, row.becomes_ready, row.left)
        for row in week_rows(*args, week(first))
    ]


def test_nucs_stay_on_hand_until_given_or_past_their_collect_by():
    supplies = [nucs("batch", 10, (0, 2))]

    assert rows(supplies, [take("batch", 1, 4)], {(week(1), "spring"): 5}) == [
        # week, kind, told, given, become ready, left
        (0, "spring", 0, 0, 10, 10),
        (1, "spring", 5, 4, 0, 6),
        (2, "spring", 0, 0, 0, 6),
    ]


def test_a_batch_that_failed_after_the_plan_shows_below_zero_in_its_week_only():
    assert rows([nucs("batch", 1, (0, 1))], [take("batch", 0, 1), take("gone", 0, 3)], {}) == [
        (0, "spring", 0, 4, 1, -3),
    ]


def test_what_was_ready_before_the_first_week_counts_in_it():
    assert rows([nucs("early", 3, (0, 2)), nucs("over", 2, (0, 0))], [], {}, first=1) == [
        (1, "spring", 0, 0, 3, 3),
        (2, "spring", 0, 0, 0, 3),
    ]


def test_kinds_are_kept_apart():
    supplies = [nucs("a", 1, (0, 0)), nucs("b", 2, (0, 0), kind="winter")]

    assert rows(supplies, [take("b", 0, 2, "winter")], {}) == [
        (0, "spring", 0, 0, 1, 1),
        (0, "winter", 0, 2, 2, 0),
    ]


def test_a_week_told_without_any_nucs_is_listed():
    assert week_rows([], [], {(week(1), "spring"): 2}, week(0)) == [WeekRow(week(1), "spring", 2, 0, 0, 0)]


def test_a_season_without_anything_has_no_rows():
    assert week_rows([], [], {}, week(0)) == []
