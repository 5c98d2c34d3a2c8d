"""Laws of the landed cost, whatever the lot."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from apiary_ops.queens.compute import cost_of_queens, landed_cost

cents = st.integers(0, 500_00)


@st.composite
def lots(draw):
    received = draw(st.integers(1, 80))
    dead = draw(st.integers(0, received))
    return landed_cost(
        received=received,
        dead_on_arrival=dead,
        unit_price_cents=draw(cents),
        freight_cents=draw(cents),
        papers_cents=draw(cents),
    )


@given(lots())
def test_landed_cost_and_loss_add_up_to_what_was_paid(lot):
    assert lot.landed_cents + lot.loss_cents == lot.total_cents
    assert lot.live or lot.landed_cents == 0


@given(lots())
def test_no_loss_is_posted_while_deaths_are_ordinary(lot):
    assert lot.live == 0 or lot.extraordinary_dead or lot.loss_cents == 0


@settings(deadline=None)
@given(lots(), st.data())
def test_queens_taken_in_any_steps_carry_away_the_landed_cost(lot, data):
    carried = taken = 0
    while taken < lot.live:
        queens = data.draw(st.integers(1, lot.live - taken))
        carried += cost_of_queens(lot.landed_cents, lot.live, taken=taken, queens=queens)
        taken += queens

    assert carried == lot.landed_cents


@settings(deadline=None)
@given(lots())
def test_no_two_queens_of_a_lot_differ_by_more_than_a_cent(lot):
    costs = [cost_of_queens(lot.landed_cents, lot.live, taken=taken, queens=1) for taken in range(lot.live)]

    assert set(costs) <= {lot.least_cents, lot.most_cents}
    assert lot.most_cents - lot.least_cents <= 1


def test_a_lot_that_arrived_dead_is_all_loss():
    lot = landed_cost(received=20, dead_on_arrival=20, unit_price_cents=48_00, freight_cents=60_00, papers_cents=0)

    assert (lot.landed_cents, lot.loss_cents) == (0, 1020_00)


def test_more_queens_than_are_left_have_no_cost():
    with pytest.raises(ValueError, match="Of 10 queens 8 have left; 3 more cannot"):
        cost_of_queens(500_00, 10, taken=8, queens=3)


def test_more_dead_than_received_is_no_lot():
    with pytest.raises(ValueError, match="Of 5 queens 6 cannot be dead"):
        landed_cost(received=5, dead_on_arrival=6, unit_price_cents=1, freight_cents=0, papers_cents=0)
