from datetime import UTC, date, datetime, timedelta

import pytest

from apiary_ops.allocation.compute.wishes import Told, Wish, priority, wish

from .season import week

ROUND = (week(1), week(4))  # three weeks
SEASON_END = week(17)
TODAY = week(0)


def asked(told: Told | None = None, today: date = TODAY) -> Wish:
    return wish(round_days=ROUND, told=told, today=today, season_ends_before=SEASON_END)


def test_a_line_told_nothing_can_go_in_its_round():
    assert asked() == Wish(week(1), week(3), None)


def test_a_round_told_later_replaces_the_round_asked_for():
    assert asked(Told(False, week(4), week(6))) == Wish(week(4), week(5), None)


def test_a_week_told_inside_the_round_is_wished_for_first():
    assert asked(Told(True, week(2), week(3))) == Wish(week(1), week(3), week(2))


def test_a_day_told_counts_as_its_week():
    day = week(2) + timedelta(days=5)

    assert asked(Told(True, day, day + timedelta(days=1))) == Wish(week(1), week(3), week(2))


@pytest.mark.parametrize(("told", "first", "last"), [(0, 0, 3), (6, 1, 6)])
def test_a_week_told_outside_the_round_widens_it(told, first, last):
    assert asked(Told(True, week(told), week(told + 1))) == Wish(week(first), week(last), week(told))


def test_no_line_goes_before_this_week():
    assert asked(today=week(2) + timedelta(days=4)) == Wish(week(2), week(3), None)


def test_a_promise_whose_weeks_have_passed_can_go_in_any_week_left_of_the_season():
    assert asked(today=week(5)) == Wish(week(5), week(16), None)


def test_after_the_season_a_late_promise_can_go_this_week():
    assert asked(today=week(20)) == Wish(week(20), week(20), None)


def test_lines_go_by_tier_then_deposit_then_as_placed():
    early, late = datetime(2027, 1, 3, 9, tzinfo=UTC), datetime(2027, 1, 3, 10, tzinfo=UTC)

    def turn(tier: str, at: datetime | None, order: int = 1, line: int = 1):
        return priority(tier=tier, deposit_complete_at=at, order_key=order, line_key=line)

    ranked = [
        turn("wholesale", late),
        turn("wholesale", None),
        turn("returning", early, 5),
        turn("returning", late, 2),
        turn("new", early, 1, 7),
        turn("new", early, 1, 8),
        turn("new", None, 1),
        turn("new", None, 2),
    ]
    assert sorted(ranked, key=lambda row: row) == ranked
