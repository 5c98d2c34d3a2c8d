"""What became of colonies between two rounds, no more said than the counts can tell."""

from decimal import Decimal

from hypothesis import given
from hypothesis import strategies as st

from apiary_ops.yards.compute import FELL, FELL_BEHIND, GAINED, HELD, change_between, words_of_change


def change(then, now, spread="0.5"):
    return change_between(Decimal(str(then)), Decimal(spread), Decimal(str(now)), Decimal(spread))


def test_errors_of_two_counts_add_up_as_squares():
    found = change_between(Decimal(5), Decimal("0.3"), Decimal(6), Decimal("0.4"))

    assert (found.by, found.margin) == (Decimal(1), Decimal("0.5"))


def test_only_what_goes_beyond_the_counts_is_said():
    changes = [change(5, 7), change(5, 7), change(5, 5.5), change(5, 4.5), change(5, 4)]

    assert words_of_change(changes) == [GAINED, GAINED, HELD, FELL_BEHIND, FELL]


def test_what_grew_less_than_the_middle_fell_behind():
    changes = [change(5, 7), change(5, 7), change(5, 7), change(5, 5.5)]

    assert words_of_change(changes)[-1] == FELL_BEHIND


def test_nothing_to_say_of_nothing():
    assert words_of_change([]) == []


frames = st.integers(0, 40).map(lambda halves: Decimal(halves) / 2)


@given(st.lists(st.tuples(frames, frames), min_size=1, max_size=30))
def test_a_colony_that_changed_more_never_gets_a_worse_word(pairs):
    changes = [change(then, now) for then, now in pairs]
    ranks = [(FELL, FELL_BEHIND, HELD, GAINED).index(word) for word in words_of_change(changes)]

    ordered = sorted(zip([one.by for one in changes], ranks, strict=True))
    assert [rank for _, rank in ordered] == sorted(ranks)
