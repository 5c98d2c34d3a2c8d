"""Pictures of yards keep their numbers in order and inside the drawing."""

from datetime import date, timedelta
from decimal import Decimal

from hypothesis import given
from hypothesis import strategies as st

from apiary_ops.yards.compute import RoundPoint, draw_change, draw_mix, draw_strength
from apiary_ops.yards.compute.pictures import LABEL_WIDTH, MOST_DAYS, MOST_ROWS

APRIL = date(2027, 4, 3)


def point(days, low, mean, high):
    return RoundPoint(
        APRIL + timedelta(days=days), "look", 20, Decimal(str(mean)), Decimal(str(low)), Decimal(str(high))
    )


def test_a_stronger_yard_stands_higher_and_a_later_day_further_right():
    picture = draw_strength([point(0, 4, 5, 6), point(14, 5, 6, 7)])

    first, second = picture.marks
    assert first.x < second.x
    assert first.high_y < first.mean_y < first.low_y
    assert second.mean_y < first.mean_y
    assert [level.value for level in picture.levels] == [0, 2, 4, 6, 8]


def test_one_round_stands_in_the_middle():
    picture = draw_strength([point(0, 4, 5, 6)])

    assert picture.marks[0].x == (picture.left + picture.right) / 2


def test_many_days_are_not_all_named():
    picture = draw_strength([point(day, 4, 5, 6) for day in range(23)])

    assert (len(picture.marks), len(picture.days)) == (23, MOST_DAYS)


def test_nothing_to_draw_is_no_picture():
    assert draw_strength([]) is None
    assert draw_mix([("river", (0, 0))]) is None
    assert draw_change([]) is None


def test_a_bar_is_cut_in_the_order_of_the_grades():
    (row,) = draw_mix([("river", (5, 0, 5))]).rows

    assert [(one.place, one.colonies) for one in row.segments] == [(0, 5), (2, 5)]
    assert row.segments[0].x == LABEL_WIDTH
    assert row.segments[0].width == row.segments[1].width
    assert row.colonies == 10


def test_a_sliver_does_not_hold_its_number():
    (row,) = draw_mix([("river", (40, 1))]).rows

    assert [one.is_named for one in row.segments] == [True, False]


def test_a_yard_that_fell_says_so():
    picture = draw_change([("river", Decimal(6), Decimal(5)), ("hill", Decimal(5), Decimal(6))])

    assert [row.fell for row in picture.rows] == [True, False]
    assert picture.rows[0].now_x < picture.rows[0].then_x


def test_a_picture_ends_after_thirty_yards():
    yards = [(f"yard-{number}", Decimal(5), Decimal(6)) for number in range(40)]

    assert len(draw_change(yards).rows) == MOST_ROWS
    assert len(draw_mix([(code, (3, 4)) for code, _, _ in yards]).rows) == MOST_ROWS


@given(st.lists(st.lists(st.integers(0, 400), min_size=4, max_size=4), min_size=1, max_size=10))
def test_segments_fill_their_bar_and_stay_inside(counts):
    picture = draw_mix([(str(place), row) for place, row in enumerate(counts)])

    for row in picture.rows if picture else ():
        last = row.segments[-1]
        assert sum(one.colonies for one in row.segments) == row.colonies
        assert last.x + last.width <= picture.width - 33
