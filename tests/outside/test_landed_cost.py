"""Landed cost against published figures."""

import pytest

from apiary_ops.queens.compute import cost_of_queens, landed_cost, ordinary_dead


# Principles of Accounting, Volume 1 (OpenStax 2019), section 6.5: 30 units at 80 and freight of 1,000 put 3,400 into
# inventory, 113.33 each; 30 x 113.33 leaves 10 cents, which largest remainder spreads over ten units.
def test_freight_belongs_to_the_cost_of_what_it_brought():
    cost = landed_cost(received=30, dead_on_arrival=0, unit_price_cents=80_00, freight_cents=1000_00, papers_cents=0)

    assert cost.total_cents == cost.landed_cents == 3400_00
    assert (cost.least_cents, cost.most_cents) == (113_33, 113_34)
    one_by_one = [cost_of_queens(3400_00, 30, taken=taken, queens=1) for taken in range(30)]
    assert one_by_one == [113_34] * 10 + [113_33] * 20


# IAS 2.16 (abnormal waste is left out of cost) and the rule restated beside the figures: expected loss raises the
# unit cost of the survivors, abnormal loss is expensed. 3 % dead on arrival, rounded up: common practice (1 to 3 %).
@pytest.mark.parametrize(
    ("received", "dead", "ordinary", "landed_cents", "loss_cents", "each_cents"),
    [
        # 100 at 48.00 and 120.00 freight: 4,920.00 over 100, over 97, and two deaths beyond the three expected.
        (100, 0, 0, 4920_00, 0, 49_20),
        (100, 3, 3, 4920_00, 0, 50_72),
        (100, 5, 3, 4818_56, 101_44, 50_72),
    ],
)
def test_expected_deaths_raise_the_survivors_cost_and_more_is_a_loss(
    received, dead, ordinary, landed_cents, loss_cents, each_cents
):
    cost = landed_cost(
        received=received, dead_on_arrival=dead, unit_price_cents=48_00, freight_cents=120_00, papers_cents=0
    )

    assert cost.ordinary_dead == ordinary
    assert (cost.landed_cents, cost.loss_cents, cost.least_cents) == (landed_cents, loss_cents, each_cents)


# Common practice: a bad box, one lot in fifteen, arrives with 10 to 30 % dead; nearly all of that is beyond ordinary.
def test_a_bad_box_does_not_make_the_survivors_dear():
    cost = landed_cost(received=50, dead_on_arrival=15, unit_price_cents=50_00, freight_cents=0, papers_cents=0)

    assert (cost.ordinary_dead, cost.extraordinary_dead) == (2, 13)
    assert cost.least_cents == 52_08  # 2,500.00 / 48
    assert cost.loss_cents == 677_08  # 13 x 52.083...


@pytest.mark.parametrize(("received", "expected"), [(1, 1), (33, 1), (34, 2), (100, 3), (101, 4)])
def test_the_ordinary_share_is_rounded_up(received, expected):
    assert ordinary_dead(received) == expected
