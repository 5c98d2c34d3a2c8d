import pytest
from hypothesis import given
from hypothesis import strategies as st

from apiary_ops.kernel import units

amounts = st.floats(-1e6, 1e6)


def test_bees_are_counted_by_covered_frames_in_halves():
    assert units.bees_on(5.5) == 13_200
    assert units.bees_on(0) == 0


def test_a_population_is_a_range():
    assert units.population_range(5) == (7_000, 12_150)


def test_mediums_and_shallows_count_as_part_of_a_deep():
    assert units.deep_equivalent(10, "deep") == 10
    assert units.deep_equivalent(10, "medium") == pytest.approx(6.4)
    assert units.deep_equivalent(10, "shallow") == pytest.approx(5.3)


def test_an_unknown_depth_is_refused():
    with pytest.raises(ValueError, match=r"^“jumbo” is not a frame depth; use deep, medium or shallow\.$"):
        units.deep_equivalent(3, "jumbo")


@pytest.mark.parametrize("filled", [-0.1, 1.01, 85])
def test_a_frame_is_never_more_than_full_of_sealed_brood(filled):
    with pytest.raises(ValueError, match="lies between 0 and 1"):
        units.frames_of_bees_from_sealed(1, filled)


def test_a_worker_takes_three_weeks():
    assert units.BROOD_DAYS == 21


@given(amounts)
def test_a_unit_converted_and_back_is_unchanged(amount):
    assert units.celsius(units.fahrenheit(amount)) == pytest.approx(amount, abs=1e-6)
    assert units.pounds(units.kilograms(amount)) == pytest.approx(amount)
    assert units.miles(units.kilometres(amount)) == pytest.approx(amount)


@given(st.floats(0, 100), st.floats(0, 1))
def test_a_fuller_frame_gives_more_bees(frames, filled):
    assert units.frames_of_bees_from_sealed(frames, filled) <= units.frames_of_bees_from_sealed(frames, 1)
