"""What a run of checks says of a queen."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from apiary_ops.nucs.compute import DETOURS, queen_state
from apiary_ops.nucs.models import Nuc


@pytest.mark.parametrize(
    ("words", "state"),
    [
        ([], "queened"),
        (["", "released"], "queened"),
        (["released", "laying"], "laying"),
        (["laying", "released", ""], "laying"),
        (["laying", "missing"], "failed"),
        (["missing", "released"], "queened"),
        (["missing", "laying"], "laying"),
    ],
)
def test_the_latest_word_of_a_queen_counts(words, state):
    assert queen_state(words) == state


@given(st.lists(st.sampled_from(["", "released", "laying", "missing"])))
def test_a_check_that_did_not_look_for_the_queen_changes_nothing(words):
    assert queen_state(words) == queen_state(word for word in words if word)


@pytest.mark.parametrize("start", ["queened", "laying", "failed"])
@pytest.mark.parametrize("end", ["queened", "laying", "failed"])
def test_any_two_states_of_a_queened_nuc_are_joined_by_its_paths(start, end):
    steps = [start, *([DETOURS[start, end]] if (start, end) in DETOURS else []), end]

    assert start == end or all(after in Nuc.PATHS[before] for before, after in zip(steps, steps[1:], strict=False))
