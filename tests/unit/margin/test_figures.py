"""The figures on top of the margin page, in words where a number alone would mislead."""

from apiary_ops.margin import compute
from apiary_ops.margin.queries import Earning
from apiary_ops.margin.tables import break_even_lines, figures


def earning(*, nucs=10, price=295_00, direct=90_00, fixed=800_00):
    steps = (compute.Step("boxes-and-combs", "direct", nucs * direct), compute.Step("pooled", "pooled", fixed))
    margin = compute.Margin("", nucs, nucs * price, steps)
    needed = compute.break_even(fixed, margin.contribution_cents, nucs)
    return Earning(
        margin=margin,
        each=compute.rounded_per_nuc(margin),
        fixed_to_cover_cents=fixed,
        break_even=needed,
        above=compute.margin_of_safety(nucs, needed),
        leverage=compute.leverage(margin.contribution_cents, margin.margin_cents),
        after_memo_cents=None,
    )


def last(earned):
    return figures(earned, "CAD")[-1]


def test_sales_beyond_break_even_show_the_margin_of_safety():
    figure = last(earning())

    assert (figure.value, figure.unit, figure.tone) == ("4", "nucs", "")
    assert figure.note == "6 handed over beyond it: the margin of safety"


def test_sales_short_of_break_even_say_how_many_are_still_to_go():
    figure = last(earning(fixed=2_100_00))

    assert (figure.value, figure.tone) == ("11", "mind")
    assert figure.note == "1 more to hand over"


def test_nucs_that_cost_more_than_they_bring_never_break_even():
    figure = last(earning(direct=300_00))

    assert (figure.value, figure.tone) == ("–", "mind")
    assert figure.note == "no number will do: each costs more than it brings"


def test_how_break_even_comes_about_names_its_parts():
    lines = [(line.label, line.value) for line in break_even_lines(earning(), "CAD")]

    assert lines == [
        ("Fixed costs to cover", "800.00"),
        ("Contribution per nuc", "205.00"),
        ("One per cent more nucs moves the margin by", "1.64"),
        ("Break-even, rounded up", "4"),
    ]


def test_a_season_without_a_hand_over_has_no_figures():
    nothing = Earning(compute.Margin("", 0, 0, ()), None, 0, None, None, None, None)

    assert figures(nothing, "CAD") == []
    assert break_even_lines(nothing, "CAD") == []
