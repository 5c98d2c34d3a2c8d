"""The margin of the whole small season: each figure from its own side, and every cent of the books in it."""

from decimal import Decimal

from django.db import connection

from apiary_ops.books.services import close_fiscal_year
from apiary_ops.core import guards
from apiary_ops.costs.services import state_cost_assumptions
from apiary_ops.margin import compute, queries
from apiary_ops.nucs.models import Nuc
from tests.factories.business import SeasonFactory


def report_of(tiny):
    return queries.season_margin(tiny.season.pk)


def steps(margin):
    return {step.key: step.cents for step in margin.steps}


def test_what_became_of_each_kind(tiny):
    report = report_of(tiny)

    assert report.facts["spring-5"] == compute.KindFacts(
        key="spring-5",
        made=7,
        handed_over=5,
        in_hand=1,
        lost=1,
        sales_cents=5 * 295_00,
        queen_cents=5 * 55_31,
        loss_cents=55_31,
    )
    # Sales are net of the 5 % tax on this kind; the united one counts as lost.
    assert report.facts["small-4"] == compute.KindFacts(
        key="small-4",
        made=3,
        handed_over=1,
        kept=1,
        lost=1,
        sales_cents=249_99,
        queen_cents=55_31,
        loss_cents=55_31,
    )


def test_each_kind_bears_its_own_queens_and_losses_and_its_share_of_the_rest(tiny):
    spring, small = report_of(tiny).margin.kinds

    assert steps(spring) == {
        "cost-of-nucs": 276_55,
        # 55.31 over six that live, five handed over.
        "nuc-losses": 46_09,
        # 200.00 by nucs made: 140.00, five sixths of it.
        "boxes-and-combs": 116_67,
        # 30.01 by nucs made: 21.01, five sixths of it.
        "spring-feed": 17_51,
        # Half of 400.00 and of 160.01 (80.01), by nucs made: 140.00 and 56.01, five sixths of each.
        "bees": 116_67 + 46_68,
        # 725.00 by 585 of 1,305 minutes, account by account, then the same way.
        "pooled": 189_59,
    }
    assert steps(small)["nuc-losses"] == 27_66
    assert steps(small)["boxes-and-combs"] == 30_00


def test_minutes_of_nuc_work_are_split_days_checks_and_feeding_once_nucs_stand(tiny):
    sharing = report_of(tiny).sharing

    # 240 x 2 + 60 + 45; beside them 180 x 2 of treatment, 120 of autumn feeding and 120 x 2 of looks.
    assert (sharing.nuc_minutes, sharing.all_minutes) == (585, 1305)


def test_every_cent_of_the_books_is_charged_or_left_out(tiny):
    report = report_of(tiny)

    assert report.books_cents == 2_024_80
    assert report.margin.charged_cents + report.margin.left_out_cents == 2_024_80
    assert report.agrees


def test_the_season_breaks_even_at_three_nucs(tiny):
    earned = queries.earning(report_of(tiny))

    assert earned.margin.contribution_cents == 1_150_70
    assert earned.each.contribution_cents == 191_78
    # The nuc in hand waits with its own: 23.33 and 9.33 of the bees' keep, 37.92 of the pooled costs.
    assert earned.fixed_to_cover_cents == earned.margin.fixed_cents + 32_66 + 37_92
    assert (earned.break_even, earned.above) == (3, 3)


def test_a_stated_share_of_the_bees_changes_the_margin(tiny):
    state_cost_assumptions(
        season_id=tiny.season.pk, version=1, changes={"bees_share_percent": Decimal(0)}, actor=tiny.owner
    )

    report = report_of(tiny)

    assert steps(report.margin.season)["bees"] == 0
    assert report.margin.left_out_of("autumn-feed", [compute.STAYS_WITH_COLONIES]) == 400_00
    assert report.agrees


def test_by_nucs_made_all_pooled_costs_go_to_nucs(tiny):
    state_cost_assumptions(
        season_id=tiny.season.pk, version=1, changes={"pooled_driver": "nucs made"}, actor=tiny.owner
    )

    report = report_of(tiny)

    assert report.margin.left_out_of("labour", [compute.COLONY_WORK]) == 0
    assert report.margin.charged["labour"] + report.margin.left_out_of("labour", compute.CARRIED) == 500_00


def test_own_time_and_honey_stand_beside_the_margin_and_never_in_it(tiny):
    before = report_of(tiny).margin.season
    stated = {"own_hours": Decimal(20), "own_hour_cents": 25_00, "honey_given_up_cents": 90_00}
    state_cost_assumptions(season_id=tiny.season.pk, version=1, changes=stated, actor=tiny.owner)

    report = report_of(tiny)

    assert report.memo == queries.Memo(own_time_cents=500_00, honey_cents=90_00)
    assert report.margin.season == before
    assert queries.earning(report).after_memo_cents == before.margin_cents - 590_00


def test_nothing_stated_is_nothing_shown(tiny):
    report = report_of(tiny)

    assert report.memo == queries.Memo(None, None)
    assert queries.earning(report).after_memo_cents is None


def test_sales_follow_the_kind_that_was_handed_over(tiny):
    # One of the farm's two nucs of the first pickup is of the other kind, for the same price.
    guards.lift(connection)
    nuc = tiny.hand_overs[0].nucs.order_by("pk").first().nuc
    Nuc.objects.filter(pk=nuc.pk).update(kind=tiny.small)

    facts = report_of(tiny).facts

    assert (facts["spring-5"].sales_cents, facts["small-4"].sales_cents) == (4 * 295_00, 249_99 + 295_00)


def test_closing_the_fiscal_year_leaves_the_margin_as_it_was(tiny):
    before = report_of(tiny)
    close_fiscal_year(year=2027, actor=tiny.owner)

    after = report_of(tiny)

    assert (after.margin, after.books_cents) == (before.margin, before.books_cents)


def test_a_nuc_that_came_back_stays_charged_and_is_not_sold_twice(tiny):
    before = report_of(tiny)
    nuc = Nuc.objects.filter(state="handed over", kind=tiny.spring).first()
    nuc.state = Nuc.State.RETURNED
    nuc.save(update_fields=["state"])

    report = report_of(tiny)

    assert (report.facts["spring-5"].handed_over, report.facts["spring-5"].in_hand) == (4, 2)
    assert report.facts["spring-5"].queen_cents == before.facts["spring-5"].queen_cents
    assert report.agrees


def test_another_season_has_a_margin_of_its_own(tiny):
    other = queries.season_margin(SeasonFactory(year=2028).pk)

    assert (other.margin.season.nucs, other.books_cents, other.margin.kinds) == (0, 0, ())
