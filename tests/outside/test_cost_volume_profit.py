"""Contribution, break-even, leverage, overhead and joint cost as textbooks print them, through the margin report.

OSM is OpenStax, Principles of Accounting, Volume 2: Managerial Accounting (Rice University 2019). Units of the
book stand in as nucs; amounts are in cents.
"""

from decimal import Decimal

import pytest

from apiary_ops.margin.compute import (
    Cost,
    KindFacts,
    Margin,
    Sharing,
    Step,
    break_even,
    by_driver,
    leverage,
    margin_of_safety,
    per_nuc,
    season_margin,
)

ALL_TO_NUCS = Sharing(bees_percent=Decimal(100), driver="nucs made")


def one_kind_season(units, price, variable, fixed):
    """A firm that sells `units` of one thing: its variable cost is direct, its fixed cost pooled."""
    kind = KindFacts("only", made=units, handed_over=units, sales_cents=units * price)
    costs = [Cost("boxes-and-combs", "direct", units * variable), Cost("rent", "pooled", fixed)]
    return season_margin([kind], costs, ALL_TO_NUCS)


# OSM 3.1-3.2, Hicks, Blue Jay: price 100, variable 20, fixed 18,000 a month.
@pytest.mark.parametrize(("units", "income"), [(175, -4_000_00), (225, 0), (300, 6_000_00)])
def test_hicks_earns_what_the_book_says(units, income):
    report = one_kind_season(units, 100_00, 20_00, 18_000_00)

    assert report.season.margin_cents == income
    assert per_nuc(report.season.contribution_cents, units) == 80_00


# OSM 3.1: the same with fixed costs of 23,000.
@pytest.mark.parametrize(("units", "income"), [(500, 17_000_00), (750, 37_000_00)])
def test_hicks_with_more_fixed_cost(units, income):
    assert one_kind_season(units, 100_00, 20_00, 23_000_00).season.margin_cents == income


# OSM 3.2: break-even 225 units = 22,500; target 16,000 takes 425; after-tax 24,000 at 40 % is 40,000 before, so 725.
@pytest.mark.parametrize(
    ("target", "units", "sales"), [(0, 225, 22_500_00), (16_000_00, 425, 42_500_00), (40_000_00, 725, 72_500_00)]
)
def test_hicks_breaks_even_and_reaches_its_target(target, units, sales):
    season = one_kind_season(300, 100_00, 20_00, 18_000_00)

    needed = break_even(
        season.fixed_to_cover_cents, season.season.contribution_cents, season.season.nucs, target_cents=target
    )

    assert needed == units
    assert needed * 100_00 == sales


# OSM 3.5 defines it as sales beyond break-even; Hicks at 300 units lies 75 above (calculated).
def test_margin_of_safety_of_hicks():
    assert margin_of_safety(300, 225) == 75
    assert margin_of_safety(175, 225) == -50


# OSM 3.1, kiosk: price 25, variable 15.50, fixed 700.
@pytest.mark.parametrize(("units", "income"), [(100, 250_00), (200, 1_200_00)])
def test_the_kiosk(units, income):
    assert one_kind_season(units, 25_00, 15_50, 700_00).season.margin_cents == income


# OSM 3.5: contribution 148,000 and 210,000, income 85,000 each; 10 % more sales, 17.4 % and 24.7 % more income.
@pytest.mark.parametrize(
    ("contribution", "printed", "rise"), [(148_000_00, "1.74", "17.4"), (210_000_00, "2.47", "24.7")]
)
def test_operating_leverage(contribution, printed, rise):
    times = leverage(contribution, 85_000_00)

    assert times == Decimal(printed)
    assert times * 10 == Decimal(rise)


# OSM 3.4: A at 10 less 4 and B at 9 less 5, sold 3 : 1, fixed 220,000: composite 22, 10,000 composites, 30,000 and
# 10,000 units for 390,000 (a line of the book that prints 15,385 is a slip).
def test_break_even_of_a_mix():
    # The direct cost of a unit differs by kind, as what the queens cost does.
    kinds = [
        KindFacts("a", made=3, handed_over=3, sales_cents=30_00, queen_cents=12_00),
        KindFacts("b", made=1, handed_over=1, sales_cents=9_00, queen_cents=5_00),
    ]
    report = season_margin(kinds, [Cost("cost-of-nucs", "direct", 17_00)], ALL_TO_NUCS)

    units = break_even(220_000_00, report.season.contribution_cents, report.season.nucs)

    assert report.season.contribution_cents == 22_00
    assert units == 40_000
    assert by_driver(units, [3, 1]) == [30_000, 10_000]
    assert 30_000 * 10_00 + 10_000 * 9_00 == 390_000_00


# OSM 6.1, 6.3, Musicality: overhead 2,500,000 over three products, by five activities and by labour hours alone.
# Driver units are the printed allocations over the printed rates.
SOLO_BAND_ORCHESTRA = [140_000, 100_000, 250_000]
POOLS = [
    ("set-ups", 200_000_00, [2_000, 1_500, 1_500]),
    ("purchase requisitions", 500_000_00, [5_000, 4_000, 1_000]),
    ("inspection hours", 300_000_00, [10_000, 9_000, 1_000]),
    ("parts handled", 600_000_00, [15_000, 3_000, 12_000]),
    ("machine hours", 900_000_00, [80_000, 60_000, 10_000]),
]


def test_overhead_by_activity():
    parts = [by_driver(cents, units) for _pool, cents, units in POOLS]

    totals = [sum(product) for product in zip(*parts, strict=True)]

    assert totals == [1_260_000_00, 815_000_00, 425_000_00]
    assert [per_nuc(cents, units) for cents, units in zip(totals, SOLO_BAND_ORCHESTRA, strict=True)] == [900, 815, 170]


def test_overhead_by_one_rate_tells_another_story():
    totals = by_driver(2_500_000_00, [350_000, 400_000, 500_000])

    assert totals == [700_000_00, 800_000_00, 1_000_000_00]
    assert [per_nuc(cents, units) for cents, units in zip(totals, SOLO_BAND_ORCHESTRA, strict=True)] == [500, 800, 400]


# OSM 6.3: material and labour 13.50, 8.75 and 16.00 a unit make unit costs of 22.50, 16.90 and 17.70 by activity.
def test_unit_cost_by_activity_through_a_margin():
    overhead = [1_260_000_00, 815_000_00, 425_000_00]
    direct = [13_50, 8_75, 16_00]
    prices = [20_00, 25_00, 30_00]

    unit_margins = []
    for units, each, pooled, price in zip(SOLO_BAND_ORCHESTRA, direct, overhead, prices, strict=True):
        steps = (Step("boxes-and-combs", "direct", units * each), Step("pooled", "pooled", pooled))
        unit_margins.append(per_nuc(Margin("", units, units * price, steps).margin_cents, units))

    assert unit_margins == [20_00 - 22_50, 25_00 - 16_90, 30_00 - 17_70]


# OSM 10.5 problems (data of the book, answers calculated): joint cost by weight and by sales value, as a cost that
# two kinds share by nucs made.
@pytest.mark.parametrize(
    ("cost", "weights", "expected"),
    [
        (36_000_00, [25, 75], [9_000_00, 27_000_00]),
        (66_000_00, [44, 66], [26_400_00, 39_600_00]),
        (40_000_00, [42_000, 4_000], [36_521_74, 3_478_26]),
        (40_000_00, [104_500, 50_500], [26_967_74, 13_032_26]),
    ],
)
def test_joint_cost_is_shared_between_kinds(cost, weights, expected):
    kinds = [KindFacts(f"kind-{made}", made=made, handed_over=made) for made in weights]

    report = season_margin(kinds, [Cost("spring-feed", "direct", cost)], ALL_TO_NUCS)

    assert [kind.direct_cents for kind in report.kinds] == expected


# "2016 Estimated Costs and Returns per Acre, Hard Red Winter Wheat" (Texas, 200 acres): yield 45 at 5.10; variable
# 263.33 and fixed 61.77 leave -33.83 and -95.60; the price that just covers them is 5.85 and 7.22.
def test_an_enterprise_budget():
    report = season_margin(
        [KindFacts("wheat", made=45, handed_over=45, sales_cents=45 * 5_10)],
        [Cost("boxes-and-combs", "direct", 263_33), Cost("rent", "pooled", 61_77)],
        ALL_TO_NUCS,
    )

    assert report.season.contribution_cents == -33_83
    assert report.season.margin_cents == -95_60
    assert per_nuc(report.season.direct_cents, 45) == 5_85
    assert per_nuc(report.charged_cents, 45) == 7_22
    # No number of acres breaks even when each loses before fixed cost.
    assert break_even(61_77, report.season.contribution_cents, 45) is None
