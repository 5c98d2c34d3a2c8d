"""The share of a deposit each delivery uses, and the numbers of papers."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from apiary_ops.billing import compute
from apiary_ops.billing.compute import TaxedAmount


@pytest.mark.parametrize(
    ("held", "now", "left", "total", "rest", "share"),
    [
        (30000, 4, 4, 118000, 0, 30000),
        (30000, 1, 4, 29500, 88500, 7500),
        (10000, 1, 3, 29500, 59000, 3333),
        (10000, 2, 3, 59000, 29500, 6667),
        (0, 2, 3, 59000, 29500, 0),
        (50000, 1, 1, 29500, 0, 29500),
    ],
)
def test_each_nuc_uses_an_equal_part_of_the_deposit(held, now, left, total, rest, share):
    used = compute.deposit_share(held_cents=held, nucs_now=now, nucs_left=left, total_cents=total, rest_cents=rest)

    assert used == share


def test_what_the_nucs_that_stay_cannot_use_is_used_now():
    # 400.00 paid ahead in full; the dear nuc leaves first and the cheap one can use no more than its 100.00.
    used = compute.deposit_share(held_cents=40000, nucs_now=1, nucs_left=2, total_cents=30000, rest_cents=10000)

    assert used == 30000


@pytest.mark.parametrize(("now", "left"), [(0, 3), (4, 3)])
def test_no_delivery_of_nothing_or_of_more_than_is_left(now, left):
    with pytest.raises(ValueError, match="cannot be delivered"):
        compute.deposit_share(held_cents=100, nucs_now=now, nucs_left=left, total_cents=100, rest_cents=0)


@given(st.integers(0, 10**9), st.lists(st.integers(1, 40), min_size=1, max_size=12))
def test_all_deliveries_together_use_the_whole_deposit(held, deliveries):
    left, nucs_left, used = held, sum(deliveries), 0
    for nucs in deliveries:
        share = compute.deposit_share(
            held_cents=left, nucs_now=nucs, nucs_left=nucs_left, total_cents=10**10, rest_cents=10**10
        )
        left, nucs_left, used = left - share, nucs_left - nucs, used + share

    assert (left, used) == (0, held)


TAXED = st.tuples(st.integers(0, 10**7), st.sampled_from("SZE"), st.sampled_from(["0", "5", "9.975", "25"]))


@given(st.lists(TAXED, max_size=20))
def test_the_parts_of_a_document_always_add_up(rows):
    totals = compute.document_totals(TaxedAmount(net, category, Decimal(percent)) for net, category, percent in rows)

    assert totals.net_cents == sum(net for net, _, _ in rows) == sum(tax.net_cents for tax in totals.taxes)
    assert totals.total_cents == totals.net_cents + sum(tax.tax_cents for tax in totals.taxes)
    assert len({(tax.category, tax.percent) for tax in totals.taxes}) == len(totals.taxes)


def test_papers_are_numbered_by_fiscal_year():
    assert compute.invoice_number(2027, 42) == "2027-00042"
    assert compute.receipt_number(2027, 123456) == "R2027-123456"
