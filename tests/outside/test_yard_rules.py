"""Counts, factors and grade rules against the literature and the common practice of the trade."""

import json
from datetime import date
from decimal import Decimal

import pytest
from django.conf import settings

from apiary_ops.kernel import units
from apiary_ops.yards.compute import Factor, Rule, Standing, cold_brood_warning, grade_colony, standard_strength

REFERENCE = json.loads((settings.BASE_DIR / "fixtures" / "reference" / "yard_rules.json").read_text(encoding="utf-8"))
VALID_FROM = date.fromisoformat(REFERENCE["valid_from"])
FACTORS = [
    Factor(row["view"], Decimal(row["warmer_than_c"]), Decimal(row["factor"]), VALID_FROM, row["source"])
    for row in REFERENCE["factors"]
]
RULES = [
    Rule(VALID_FROM, row["place"], row["grade"], Decimal(row["least_frames"]), None, row["gives_nucs"])
    for row in REFERENCE["grade_rules"]
]


def strength(temperature, **halves):
    counts = {"below_halves": None, "above_halves": None} | halves
    return standard_strength(**counts, temperature_c=Decimal(temperature), factors=FACTORS, boxes=2)


def grade(frames):
    return grade_colony(Standing(strength=Decimal(str(frames))), RULES).grade


# The Good Fruit Grower (goodfruit.com) prints the range 19,200 to 24,000 adults for 8 to 10 frames; 2,400 on a
# well-covered deep comb: Sagili & Burgett 2011, PNW 623 (as restated).
@pytest.mark.parametrize(("halves", "adults"), [(16, 19_200), (20, 24_000)])
def test_adults_of_a_colony_counted_cool_from_below(halves, adults):
    assert units.bees_on(float(strength(5, below_halves=halves).frames)) == adults


# 1,400: Simpson 1969, J. Apic. Res. 8:3-8. 1,900: Kauffeld, quoted in Burgett & Burikam 1985, J. Econ. Entomol.
# 78:1154. 2,400: PNW 623. 2,430: Burgett & Burikam (from memory). Products derived.
@pytest.mark.parametrize(
    ("bees_a_frame", "adults"), [(1_400, 11_200), (1_900, 15_200), (2_400, 19_200), (2_430, 19_440)]
)
def test_population_of_eight_frames(bees_a_frame, adults):
    frames = float(strength(5, below_halves=16).frames)

    assert frames * bees_a_frame == adults
    assert units.population_range(frames)[0] <= adults <= units.population_range(frames)[1]


# Common practice: warm from below 0.75 to 0.9 of the cool count, warm from above lower still.
def test_factors_lie_where_practice_puts_them():
    by_view = {
        view: {factor.warmer_than_c: factor.factor for factor in FACTORS if factor.view == view}
        for view in ("below", "above")
    }
    warm = [band for band in by_view["below"] if band >= 10]

    assert by_view["below"][Decimal(-30)] == 1
    assert len(warm) == 2
    for band in warm:
        assert Decimal("0.75") <= by_view["below"][band] <= Decimal("0.9")
        assert by_view["above"][band] < by_view["below"][band]


# Common practice: a colony counted at about 15 °C covers more combs than at about 5 °C, being the same colony.
def test_raw_counts_of_two_temperature_bands_never_meet():
    assert strength(15, below_halves=12).frames < strength(5, below_halves=12).frames


# Common practice, 10-frame boxes in a slow year counted from below: about 5.5 to 6.5 frames are among the best, about
# 5 ordinary, about 4 viable but in want of help, about 3 behind.
@pytest.mark.parametrize(
    ("frames", "expected"),
    [(5.5, "best"), (6, "best"), (6.5, "best"), (5, "ordinary"), (4, "slow"), (3, "behind")],
)
def test_early_spring_bands(frames, expected):
    assert grade(frames) == expected


# Common practice, late March of a slow year: best 6 to 7, ordinary from 5, slow 4, behind 2 to 3 frames.
@pytest.mark.parametrize(
    ("frames", "expected"), [(6, "best"), (7, "best"), (5, "ordinary"), (4, "slow"), (2, "behind"), (3, "behind")]
)
def test_late_march_bands(frames, expected):
    assert grade(frames) == expected


# Common practice: nucs from best, ordinary and slow colonies; none from those behind.
def test_which_grades_give_nucs():
    assert {rule.grade: rule.gives_nucs for rule in RULES} == {
        "best": True,
        "ordinary": True,
        "slow": True,
        "behind": False,
    }


# Common practice: frames stay in below about 10 °C; at about 5 °C look from below with the boxes parted.
@pytest.mark.parametrize(("temperature", "is_warned"), [("5", True), ("9.9", True), ("10", False), ("15", False)])
def test_frames_out_in_the_cold(temperature, is_warned):
    assert bool(cold_brood_warning(frames_out=True, temperature_c=Decimal(temperature))) is is_warned


# Neither factors nor rules have a published source: each says so.
def test_every_starting_value_names_its_source():
    sources = [row["source"] for row in [*REFERENCE["factors"], *REFERENCE["grade_rules"]]]

    assert all(source.startswith("common practice:") for source in sources[1:])
    assert sources[0] == "the footing itself: cool, not flying, from below"
