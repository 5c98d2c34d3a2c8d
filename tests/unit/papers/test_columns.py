import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from apiary_ops.papers import Column, tick_box
from apiary_ops.papers.columns import NARROWEST, WIDEST_NEED, lay_columns, share_out
from apiary_ops.papers.lettering import GUTTER

columns_wanted = st.lists(st.tuples(st.floats(0, 10), st.floats(NARROWEST, WIDEST_NEED)), min_size=1, max_size=12)


def test_columns_stand_by_their_shares():
    assert share_out([3, 1], [20, 20], 400) == [300, 100]


def test_a_column_whose_share_is_too_small_gets_what_it_needs():
    assert share_out([3, 1, 1], [20, 80, 20], 200) == [90, 80, 30]


def test_needs_beyond_the_page_are_cut_in_proportion():
    assert share_out([1, 1], [60, 100], 100) == [40, 60]


@settings(deadline=None)
@given(columns_wanted, st.floats(250, 600))
def test_columns_fill_the_page_and_none_vanishes(wanted, room):
    shares, needs = [1 + share for share, _ in wanted], [need for _, need in wanted]

    widths = share_out(shares, needs, room)

    assert sum(widths) == pytest.approx(room)
    assert min(widths) >= NARROWEST - 1e-6


def test_strips_stand_side_by_side_from_margin_to_margin():
    strips = lay_columns([tick_box("Out"), Column("Buyer", share=2), Column("Owed", "right")], [("Anna", "1.00")], 480)

    assert strips[0].left == 0
    assert [strip.left + strip.width + GUTTER for strip in strips[:-1]] == pytest.approx([s.left for s in strips[1:]])
    assert strips[-1].left + strips[-1].width == pytest.approx(480)


def test_more_columns_than_the_page_holds_are_refused():
    with pytest.raises(ValueError, match=r"^30 columns do not fit on the page; print fewer columns\.$"):
        lay_columns([Column("Frames")] * 30, [], 480)
