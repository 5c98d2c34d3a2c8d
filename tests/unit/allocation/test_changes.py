import pytest

from apiary_ops.allocation.compute.changes import Part, Served, change, served

from .season import week


def given(*parts: tuple[int, int], short: int = 0, kind: str = "spring") -> Served:
    """Parts as (week, nucs)."""
    return Served(tuple(Part(week(number), kind, quantity) for number, quantity in parts), short)


def test_what_comes_from_two_batches_in_one_week_is_one_part():
    takes = [Part(week(1), "spring", 2), Part(week(0), "spring", 1), Part(week(1), "spring", 3)]

    assert served(takes, 4) == given((0, 1), (1, 5), short=4)


@pytest.mark.parametrize(
    ("before", "after", "word"),
    [
        (given((0, 2)), given((0, 2)), "stays"),
        (given((0, 2)), given((1, 2)), "slips"),
        (given((1, 2)), given((0, 2)), "gains"),
        (given((0, 2)), given(short=2), "slips"),
        (given(short=2), given((3, 2)), "gains"),
        (given((0, 4)), given((0, 3), short=1), "slips"),
        (given((0, 3), (1, 1)), given((0, 2), (1, 2)), "slips"),
        (given((0, 2), (1, 2)), given((0, 3), (1, 1)), "gains"),
        (given((0, 2)), given((0, 2), kind="winter"), "other kind"),
        (given((0, 2)), given((1, 2), kind="winter"), "slips"),
        (given((0, 2)), None, "gone"),
        (None, given((0, 2)), "new"),
        (None, None, "stays"),
        (given(short=2), given(short=2), "stays"),
    ],
)
def test_a_line_gains_slips_or_stays(before, after, word):
    assert change(before, after) == word


def test_a_line_collected_in_part_between_two_plans_is_judged_by_its_weeks():
    assert change(given((0, 4)), given((0, 3))) == "stays"
    assert change(given((0, 1), (1, 3)), given((1, 3))) == "stays"
