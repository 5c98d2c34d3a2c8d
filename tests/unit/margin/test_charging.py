"""Which cents of a season's costs the nucs handed over bear, and which they do not."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from apiary_ops.margin.compute import Cost, KindFacts, LeftOut, Sharing, season_margin

HALF_BY_MINUTES = Sharing(bees_percent=Decimal(50), driver="visit minutes", nuc_minutes=600, all_minutes=1000)


def spring_nucs(**facts):
    return KindFacts("spring-5", **{"made": 10, "handed_over": 10, "sales_cents": 2950_00, **facts})


def step(margin, key):
    return next(step.cents for step in margin.steps if step.key == key)


def test_the_queens_of_handed_over_nucs_cost_what_they_cost():
    kinds = [
        spring_nucs(queen_cents=550_00),
        KindFacts("overwintered", made=4, handed_over=4, sales_cents=1360_00, queen_cents=0),
    ]

    report = season_margin(kinds, [Cost("cost-of-nucs", "direct", 550_00)], HALF_BY_MINUTES)

    assert [step(kind, "cost-of-nucs") for kind in report.kinds] == [550_00, 0]
    assert report.season.contribution_cents == 2950_00 + 1360_00 - 550_00
    assert report.cost_cents == 550_00


def test_lost_nucs_raise_the_cost_of_the_survivors():
    kind = spring_nucs(made=12, handed_over=6, in_hand=3, kept=1, lost=2, loss_cents=110_00)

    report = season_margin([kind], [Cost("nuc-losses", "direct", 110_00)], HALF_BY_MINUTES)

    assert step(report.season, "nuc-losses") == 66_00
    assert report.left_out == (
        LeftOut("nuc-losses", "direct", "in hand", 33_00),
        LeftOut("nuc-losses", "direct", "kept", 11_00),
    )


def test_boxes_go_to_kinds_by_nucs_made():
    kinds = [spring_nucs(), KindFacts("small-4", made=5, handed_over=5)]

    report = season_margin(kinds, [Cost("boxes-and-combs", "direct", 300_00)], HALF_BY_MINUTES)

    assert [step(kind, "boxes-and-combs") for kind in report.kinds] == [200_00, 100_00]


def test_of_the_keep_of_the_bees_only_the_stated_share_is_charged():
    costs = [Cost("autumn-feed", "bees", 401_00), Cost("mite-treatment", "bees", 99_01)]

    report = season_margin([spring_nucs()], costs, HALF_BY_MINUTES)

    # 50 % of 99.01 is 49.505, rounded half up.
    assert step(report.season, "bees") == 200_50 + 49_51
    assert report.left_out == (
        LeftOut("autumn-feed", "bees", "stays with colonies", 200_50),
        LeftOut("mite-treatment", "bees", "stays with colonies", 49_50),
    )


def test_pooled_costs_part_by_visit_minutes_before_they_reach_a_nuc():
    report = season_margin([spring_nucs()], [Cost("labour", "pooled", 5000_00)], HALF_BY_MINUTES)

    assert step(report.season, "pooled") == 3000_00
    assert report.left_out == (LeftOut("labour", "pooled", "colony work", 2000_00),)


def test_without_visit_minutes_no_pooled_cost_is_charged_and_the_report_says_so():
    report = season_margin([spring_nucs()], [Cost("rent", "pooled", 700_00)], Sharing(Decimal(50)))

    assert report.season.fixed_cents == 0
    assert report.left_out == (LeftOut("rent", "pooled", "minutes unknown", 700_00),)


def test_by_nucs_made_every_pooled_cent_goes_to_nucs():
    sharing = Sharing(Decimal(50), driver="nucs made")

    report = season_margin([spring_nucs()], [Cost("rent", "pooled", 700_00)], sharing)

    assert step(report.season, "pooled") == 700_00
    assert report.left_out == ()


def test_an_expense_of_no_class_is_shown_and_never_charged():
    report = season_margin([spring_nucs()], [Cost("office", "", 80_00)], HALF_BY_MINUTES)

    assert report.season.margin_cents == 2950_00
    assert report.left_out == (LeftOut("office", "", "not of nucs", 80_00),)


def test_in_winter_costs_wait_until_nucs_are_made():
    costs = [Cost("boxes-and-combs", "direct", 900_00), Cost("autumn-feed", "bees", 100_00)]

    report = season_margin([KindFacts("spring-5", made=0, handed_over=0)], costs, HALF_BY_MINUTES)

    assert report.charged_cents == 0
    assert report.left_out == (
        LeftOut("boxes-and-combs", "direct", "none made", 900_00),
        LeftOut("autumn-feed", "bees", "stays with colonies", 50_00),
        LeftOut("autumn-feed", "bees", "none made", 50_00),
    )


def test_a_kind_of_which_nothing_lives_leaves_its_cost_uncovered():
    kinds = [spring_nucs(), KindFacts("small-4", made=10, handed_over=0, lost=10, loss_cents=480_00)]
    costs = [Cost("nuc-losses", "direct", 480_00), Cost("mite-treatment", "bees", 100_00)]

    report = season_margin(kinds, costs, HALF_BY_MINUTES)

    assert LeftOut("nuc-losses", "direct", "none left", 480_00) in report.left_out
    # The living kind bears its own quarter, and the sales must still cover the quarter of the lost kind.
    assert report.season.fixed_cents == 25_00
    assert report.fixed_to_cover_cents == 50_00


def test_what_the_books_hold_and_no_nuc_explains_shows_as_a_difference():
    costs = [Cost("cost-of-nucs", "direct", 560_00)]

    report = season_margin([spring_nucs(queen_cents=550_00)], costs, HALF_BY_MINUTES)

    assert report.cost_cents == 550_00


CENTS = st.integers(-10_000_00, 10_000_00)
COUNTS = st.integers(0, 300)
ACCOUNTS = {
    "boxes-and-combs": "direct",
    "spring-feed": "direct",
    "autumn-feed": "bees",
    "winter-losses": "bees",
    "labour": "pooled",
    "rent": "pooled",
    "office": "",
}


@st.composite
def seasons(draw):
    kinds = []
    for number in range(draw(st.integers(0, 4))):
        fates = draw(st.tuples(COUNTS, COUNTS, COUNTS, COUNTS))
        handed_over, in_hand, kept, lost = fates
        loss_cents = draw(st.integers(0, 10_000)) if lost else 0
        queen_cents = draw(st.integers(0, 10_000)) if handed_over else 0
        kinds.append(KindFacts(f"kind-{number}", sum(fates), *fates, 0, queen_cents, loss_cents))
    costs = [Cost(account, cost_class, draw(CENTS)) for account, cost_class in ACCOUNTS.items()]
    costs.append(Cost("cost-of-nucs", "direct", sum(kind.queen_cents for kind in kinds)))
    costs.append(Cost("nuc-losses", "direct", sum(kind.loss_cents for kind in kinds)))
    nuc_minutes = draw(COUNTS)
    driver = draw(st.sampled_from(["nucs made", "visit minutes"]))
    percent = draw(st.decimals(0, 100, places=1))
    return kinds, costs, Sharing(percent, driver, nuc_minutes, nuc_minutes + draw(COUNTS))


@given(seasons())
def test_every_cent_is_charged_or_left_out(season):
    kinds, costs, sharing = season

    report = season_margin(kinds, costs, sharing)

    assert report.cost_cents == sum(cost.cents for cost in costs)
    by_account = {cost.account: cost.cents for cost in costs if cost.cost_class in ("bees", "pooled", "")}
    for row in report.left_out:
        if row.account in by_account:
            by_account[row.account] -= row.cents
    assert report.season.fixed_cents == sum(by_account.values())


@given(seasons())
def test_the_season_is_the_sum_of_its_kinds(season):
    report = season_margin(*season)

    for number, season_step in enumerate(report.season.steps):
        assert season_step.cents == sum(kind.steps[number].cents for kind in report.kinds)
    assert report.season.margin_cents == sum(kind.margin_cents for kind in report.kinds)


def test_a_share_of_nothing_needs_no_minutes_of_nuc_work():
    sharing = Sharing(Decimal(50), driver="visit minutes", nuc_minutes=0, all_minutes=90)

    report = season_margin([spring_nucs()], [Cost("labour", "pooled", 10_00)], sharing)

    assert report.left_out == (LeftOut("labour", "pooled", "colony work", 10_00),)


@pytest.mark.parametrize("kinds", [[], [KindFacts("spring-5", made=3, handed_over=0, in_hand=3)]])
def test_a_season_without_a_hand_over_has_no_sales_and_no_charge(kinds):
    report = season_margin(kinds, [Cost("spring-feed", "direct", 30_00)], HALF_BY_MINUTES)

    assert (report.season.nucs, report.season.sales_cents, report.charged_cents) == (0, 0, 0)
    assert report.left_out_cents == 30_00
