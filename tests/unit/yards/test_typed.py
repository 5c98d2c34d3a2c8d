"""What is typed into a narrow cell: half frames and short words."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from apiary_ops.yards.compute import halves_from, meant_by
from apiary_ops.yards.forms.grid import SPOKEN
from apiary_ops.yards.models import PATTIES, Look

QUEENS = {"seen": ["ok", "seen", "eggs"], "none": ["queenless", "none"], "spotty": ["spotty"], "drones": ["drones"]}


@pytest.mark.parametrize(
    ("typed", "halves"),
    [
        ("5", 10),
        ("5.5", 11),
        ("5,5", 11),
        ("5.0", 10),
        ("5½", 11),
        ("5 1/2", 11),
        ("½", 1),
        ("1/2", 1),
        ("0", 0),
        (" 10 ", 20),
    ],
)
def test_frames_are_typed_in_halves(typed, halves):
    assert halves_from(typed) == halves


@pytest.mark.parametrize("typed", ["", "x", "5.3", "5.55", "-5", "5.", ".5", "5.5½", "five", "5 5", "100", "1e1"])
def test_what_is_no_half_frame_is_not_understood(typed):
    assert halves_from(typed) is None


@given(st.integers(0, 199), st.sampled_from([".", ",", "½", " 1/2"]))
def test_every_count_is_read_as_it_is_written(halves, mark):
    whole, half = divmod(halves, 2)
    written = f"{whole}{mark if mark in '½ 1/2' else mark + '5'}" if half else str(whole)

    assert halves_from(written) == halves


@given(st.text(max_size=8))
def test_nothing_typed_breaks_the_reading(typed):
    halves = halves_from(typed)

    assert halves is None or 0 <= halves <= 199


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        ("ok", ["seen"]),
        ("OK", ["seen"]),
        ("e", ["seen"]),
        ("q", ["none"]),
        ("sp", ["spotty"]),
        ("s", ["seen", "spotty"]),
        ("d", ["drones"]),
        ("x", []),
    ],
)
def test_a_word_is_typed_as_short_as_it_is_plain(typed, meant):
    assert meant_by(typed, QUEENS) == meant


def test_a_whole_word_wins_over_the_beginning_of_another():
    assert meant_by("half", {"half": ["half"], "more": ["half and more"]}) == ["half"]


def test_the_sheet_has_words_for_every_answer_of_a_look():
    assert list(SPOKEN["lower_box"]) == Look.LowerBox.values
    assert list(SPOKEN["patty"]) == [value for value, _label in PATTIES]
    assert list(SPOKEN["queen"]) == [value for value in Look.Queen.values if value]
