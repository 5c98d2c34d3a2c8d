"""Strength on one footing: cool, not flying, counted from below."""

from datetime import date
from decimal import Decimal

from hypothesis import given
from hypothesis import strategies as st

from apiary_ops.yards.compute import Factor, factors_on, standard_strength

LONG_AGO = date(2020, 1, 1)


def factor(view, from_c, by, valid_from=LONG_AGO):
    return Factor(view, Decimal(from_c), Decimal(by), valid_from, "common practice")


FACTORS = (
    factor("below", -30, "1.000"),
    factor("below", 10, "0.900"),
    factor("below", 15, "0.800"),
    factor("above", -30, "0.900"),
    factor("above", 10, "0.800"),
    factor("above", 15, "0.700"),
)


def strength(below=None, above=None, at=5, boxes=2, flying=False, factors=FACTORS):
    return standard_strength(
        below_halves=below,
        above_halves=above,
        temperature_c=None if at is None else Decimal(at),
        factors=factors,
        boxes=boxes,
        flying=flying,
    )


def test_a_cool_count_from_below_stands_as_it_is():
    found = strength(below=11, at=6)

    assert (found.frames, found.spread) == (Decimal("5.5"), Decimal("0.5"))
    assert found.sentence == "Counted from below 5.5, at 6 °C: 5.5 ± 0.5 frames."


def test_a_warm_count_is_scaled_down_and_from_above_most():
    assert strength(below=12, at=16).frames == Decimal("4.8")
    assert strength(above=12, at=16).frames == Decimal("4.2")
    assert strength(below=12, at=16).sentence == "Counted from below 6 × 0.8 = 4.8, at 16 °C: 4.8 ± 1.1 frames."


def test_a_band_begins_at_its_temperature():
    assert strength(below=10, at="9.9").frames == Decimal("5.0")
    assert strength(below=10, at="10.0").frames == Decimal("4.5")


def test_flying_bees_count_as_at_least_ten_degrees():
    assert strength(below=10, at=6, flying=True).frames == Decimal("4.5")
    assert strength(below=10, at=None, flying=True).frames == Decimal("4.5")
    assert strength(below=10, at=16, flying=True).frames == Decimal("4.0")


def test_without_a_temperature_a_count_is_taken_as_cool_but_wide():
    found = strength(below=12, at=None)

    assert (found.frames, found.spread) == (Decimal("6.0"), Decimal("1.1"))
    assert found.sentence == "Counted from below 6, temperature not noted, taken as cool: 6.0 ± 1.1 frames."


def test_a_full_box_is_capped_and_not_scaled():
    found = strength(below=20, at=16)

    assert found.frames == Decimal("10.0")
    assert found.sentence == (
        "Counted from below 10, a full box, which is not scaled: there may be more, at 16 °C: 10.0 ± 1.5 frames."
    )


def test_what_stands_beyond_a_full_box_is_scaled():
    assert strength(below=24, at=16).frames == Decimal("11.6")


def test_a_count_never_exceeds_the_boxes():
    assert strength(below=30, at=5, boxes=1).frames == Decimal("10.0")


def test_both_views_are_averaged_with_the_reason():
    found = strength(below=10, above=12, at=5)

    assert (found.frames, found.spread) == (Decimal("5.2"), Decimal("0.5"))
    assert found.sentence == (
        "Counted from below 5; from above 6 × 0.9 = 5.4, at 5 °C. The two views are averaged, since each errs its own "
        "way: 5.2 ± 0.5 frames."
    )


def test_the_average_can_be_checked_by_hand():
    found = strength(below=13, above=14, at=12)

    assert found.frames == Decimal("5.7")
    assert "from below 6.5 × 0.9 = 5.85; from above 7 × 0.8 = 5.6" in found.sentence
    assert found.lines[4].value == "5.85 and 5.6"


def test_views_far_apart_ask_for_another_look():
    found = strength(below=6, above=16, at=5)

    assert found.spread == Decimal("2.1")
    assert found.sentence.endswith("The views differ by 4.2 frames: look again.")


def test_the_lines_of_an_account_end_in_the_strength():
    lines = strength(below=12, at=16).lines

    assert [(line.label, line.value, line.unit, line.note) for line in lines] == [
        ("Counted from below", "6", "frames", ""),
        ("× factor, at 16 °C", "0.8", "", "common practice"),
        ("Strength: cool, not flying, from below", "4.8", "frames", ""),
        ("Spread", "± 1.1", "frames", "an assumption for view and temperature"),
    ]
    assert [line.is_total for line in lines] == [False, False, True, False]


def test_a_colony_nobody_counted_has_no_strength():
    assert strength() is None


def test_without_a_factor_a_count_stands_and_says_so():
    found = strength(below=10, at=20, factors=())

    assert found.frames == Decimal("5.0")
    assert found.lines[1].note == "no factor is stated for this view"


def test_no_bees_are_no_frames():
    assert strength(below=0, at=5).frames == Decimal("0.0")


def test_the_factors_of_a_day_are_the_latest_begun_of_each_band():
    own = factor("below", 15, "0.750", date(2027, 4, 1))

    assert own not in factors_on([*FACTORS, own], date(2027, 3, 31))
    assert set(factors_on([*FACTORS, own], date(2027, 4, 1))) == (set(FACTORS) - {FACTORS[2]}) | {own}


halves = st.integers(0, 40)
temperatures = st.one_of(st.none(), st.decimals(-30, 45, places=1))
shares = st.decimals(Decimal("0.001"), 1, places=3)


@st.composite
def tables(draw):
    """Any factor table: bands in any order, factors in any relation."""
    bands = draw(st.lists(st.tuples(st.sampled_from(["below", "above"]), st.integers(-30, 40), shares), max_size=8))
    return tuple(factor(view, from_c, by) for view, from_c, by in bands)


@st.composite
def falling_tables(draw):
    """Tables that take off more the warmer it is."""
    rows = []
    for view in ("below", "above"):
        bands = sorted(draw(st.lists(st.integers(-30, 40), min_size=1, max_size=5, unique=True)))
        factors = sorted(draw(st.lists(shares, min_size=len(bands), max_size=len(bands))), reverse=True)
        rows += [factor(view, from_c, by) for from_c, by in zip([-30, *bands[1:]], factors, strict=True)]
    return tuple(rows)


@given(halves, halves, st.one_of(st.none(), halves), temperatures, st.booleans(), tables(), st.integers(1, 6))
def test_more_bees_counted_never_make_a_weaker_colony(one, other, above, at, flying, table, boxes):
    fewer, more = sorted([one, other])

    weaker = strength(below=fewer, above=above, at=at, flying=flying, factors=table, boxes=boxes)
    stronger = strength(below=more, above=above, at=at, flying=flying, factors=table, boxes=boxes)

    assert weaker.frames <= stronger.frames


@given(halves, st.decimals(-30, 45, places=1), st.decimals(-30, 45, places=1), falling_tables())
def test_the_same_count_on_a_warmer_day_never_means_more_bees(count, one, other, table):
    cooler, warmer = sorted([one, other])

    assert (
        strength(below=count, at=warmer, factors=table).frames <= strength(below=count, at=cooler, factors=table).frames
    )
    assert (
        strength(above=count, at=warmer, factors=table).frames <= strength(above=count, at=cooler, factors=table).frames
    )


@given(st.one_of(st.none(), halves), st.one_of(st.none(), halves), temperatures, st.booleans(), tables())
def test_every_count_has_one_answer_within_the_boxes(below, above, at, flying, table):
    found = strength(below=below, above=above, at=at, flying=flying, factors=table)
    again = strength(below=below, above=above, at=at, flying=flying, factors=table)

    assert found == again
    assert (found is None) == (below is None and above is None)
    if found is not None:
        assert 0 <= found.frames <= 20
        assert found.spread > 0
        assert f"{found.frames} ± {found.spread} frames." in found.sentence


@given(halves, temperatures, st.booleans(), tables())
def test_scaling_never_adds_bees(below, at, flying, table):
    assert strength(below=below, at=at, flying=flying, factors=table).frames <= Decimal(below) / 2
