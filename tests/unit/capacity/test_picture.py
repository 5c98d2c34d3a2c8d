"""The picture of capacity against promises keeps its numbers in order and its words apart."""

from datetime import date, timedelta

from hypothesis import given
from hypothesis import strategies as st

from apiary_ops.capacity.compute import SaleWeek, draw
from apiary_ops.capacity.compute.picture import BOTTOM, HEIGHT, LEAST_GAP, TOP

WORDS = {"early": "early spring", "middle": "middle", "late": "late spring", "promised": "promised"}


def sale_weeks(*rows):
    first = date(2027, 5, 31)
    return [SaleWeek(first + timedelta(weeks=place), *row) for place, row in enumerate(rows)]


def points(text):
    return [tuple(float(number) for number in point.split(",")) for point in text.split()]


def test_the_axis_runs_in_round_numbers_beyond_the_highest():
    picture = draw(sale_weeks((0, 10, 40, 5), (60, 90, 133, 70)), WORDS)

    assert [level.value for level in picture.levels] == [0, 50, 100, 150]


def test_promises_are_stairs():
    picture = draw(sale_weeks((0, 0, 100, 0), (0, 0, 100, 50), (0, 0, 100, 100)), WORDS)

    heights = [y for _, y in points(picture.promised_points)]
    assert heights == [260.0, 260.0, 138.0, 138.0, 16.0]


def test_one_week_or_nothing_at_all_is_no_picture():
    assert draw(sale_weeks((1, 2, 3, 4)), WORDS) is None
    assert draw(sale_weeks((0, 0, 0, 0), (0, 0, 0, 0)), WORDS) is None


@given(
    st.lists(
        st.tuples(st.integers(0, 900), st.integers(0, 900), st.integers(0, 900), st.integers(0, 900)),
        min_size=2,
        max_size=20,
    ).filter(lambda rows: any(row[2] or row[3] for row in rows))
)
def test_everything_stays_in_the_drawing_and_no_two_words_touch(rows):
    weeks = sale_weeks(*[(min(row[:3]), sorted(row[:3])[1], max(row[:3]), row[3]) for row in rows])

    picture = draw(weeks, WORDS)

    drawn = points(picture.range_points) + points(picture.middle_points) + points(picture.promised_points)
    assert all(TOP <= y <= HEIGHT - BOTTOM for _, y in drawn)
    heights = sorted(end.at for end in picture.ends)
    assert all(lower - upper >= LEAST_GAP - 0.2 for upper, lower in zip(heights, heights[1:], strict=False))
    assert heights[-1] <= HEIGHT - BOTTOM
