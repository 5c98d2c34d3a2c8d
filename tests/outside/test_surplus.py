"""Surplus against what the trade says of splitting; nothing is published as a formula."""

from datetime import date

import pytest

from apiary_ops.capacity.compute import ColonyStart, Keep, Recipe, alone, three_springs


# A club's rule (richmondhoneybee.com): a colony on 5 to 6 working frames gives one nuc of 3 frames. Taken as 5.5
# frames covered, 4 with brood, the nuc 2 brood and bees of 2.5, half of the brood left.
def test_a_colony_on_five_to_six_frames_gives_one_small_nuc():
    nucs = alone([4], [5.5], keep_brood=2, keep_bees=3, nuc_brood=2, nuc_bees=2.5)

    assert list(nucs) == [1]


# A donor minimum (L. Spear, club slides): nothing below 4 frames of brood, when 3 stay (common practice: 3 to 4).
def test_a_donor_below_four_brood_frames_gives_nothing():
    nucs = alone([3.9, 4.0], [10, 10], keep_brood=3, keep_bees=6, nuc_brood=1, nuc_bees=2)

    assert list(nucs) == [0, 1]


# Common practice: the whole stock gives 0.8 to 1.3 nucs a colony with parents kept, at the grade mix best 25-30,
# ordinary 35-40, slow 20-25, behind 8-12 %. Pooled, in one round in mid May of a middle spring.
def test_a_whole_stock_gives_about_one_nuc_a_colony():
    grades = [(6.5, 2.5)] * 28 + [(5.2, 1.5)] * 39 + [(4.0, 1.0)] * 22 + [(2.5, 0.5)] * 11
    stock = [
        ColonyStart(f"{place}", f"yard {place % 4}", bees, sealed, date(2027, 3, 27), 20)
        for place, (bees, sealed) in enumerate(grades)
    ]

    rows = three_springs(stock, weeks=[date(2027, 5, 10)], recipe=Recipe(2.25, 2), keep=Keep(7, 3.5))

    middle = sum(row.pooled for row in rows if row.spring == "middle")
    assert middle / len(stock) == pytest.approx(1.05, abs=0.25)
