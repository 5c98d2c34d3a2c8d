"""What a nuc earned: amounts per nuc, break-even, margin of safety, leverage, and the way from price to margin."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from itertools import accumulate

from apiary_ops.kernel.rounding import half_up, whole_cents

from .charging import Margin


def per_nuc(cents: int, nucs: int) -> int | None:
    """`cents` for each of `nucs`, to the cent; None when there are none."""
    return whole_cents(Fraction(cents, nucs)) if nucs else None


def break_even(fixed_cents: int, contribution_cents: int, nucs: int, target_cents: int = 0) -> int | None:
    """The fewest nucs whose contribution covers the fixed costs and a target, sold at the mix of `nucs`.

    `contribution_cents` is what `nucs` contributed together. None when a nuc contributes nothing: no number would
    do. Source: Principles of Accounting, Volume 2 (OpenStax 2019), sections 3.2 and 3.4.
    """
    if nucs < 1 or contribution_cents <= 0:
        return None
    needed = Fraction((fixed_cents + target_cents) * nucs, contribution_cents)
    return max(0, -(-needed.numerator // needed.denominator))


def margin_of_safety(nucs: int, break_even_nucs: int | None) -> int | None:
    """By how many nucs the sales lie above break-even; below zero when they do not reach it."""
    return None if break_even_nucs is None else nucs - break_even_nucs


def leverage(contribution_cents: int, margin_cents: int) -> Decimal | None:
    """By how many per cent the margin moves with one per cent more or fewer nucs, to two places; None in a loss.

    Source: Principles of Accounting, Volume 2 (OpenStax 2019), section 3.5.
    """
    return half_up(Fraction(contribution_cents, margin_cents), 2) if margin_cents > 0 else None


@dataclass(frozen=True, slots=True)
class PerNuc:
    """A margin per nuc in whole cents, rounded so that price − direct − fixed = margin still holds."""

    price_cents: int
    direct: tuple[int, ...]
    fixed: tuple[int, ...]

    @property
    def contribution_cents(self) -> int:
        return self.price_cents - sum(self.direct)

    @property
    def margin_cents(self) -> int:
        return self.contribution_cents - sum(self.fixed)


def rounded_per_nuc(margin: Margin) -> PerNuc | None:
    """The margin per nuc; price and margin are rounded half up, the steps so that they lie exactly between.

    None when no nuc is handed over.
    """
    if not margin.nucs:
        return None
    price = whole_cents(Fraction(margin.sales_cents, margin.nucs))
    earned = whole_cents(Fraction(margin.margin_cents, margin.nucs))
    amounts = [step.cents for step in (*margin.direct_steps, *margin.fixed_steps)]
    steps = _rounded(amounts, margin.nucs, price - earned)
    direct = len(margin.direct_steps)
    return PerNuc(price, tuple(steps[:direct]), tuple(steps[direct:]))


def _rounded(amounts: Sequence[int], nucs: int, total: int) -> list[int]:
    """Each amount per nuc rounded down, then up where most was cut off, until together they make `total`.

    Where nothing was cut off nothing is added: the total may then be a cent away, and what is left takes it.
    """
    parts = [amount // nucs for amount in amounts]
    cut_off = [amount % nucs for amount in amounts]
    by_cut = sorted((place for place, rest in enumerate(cut_off) if rest), key=lambda place: -cut_off[place])
    for place in by_cut[: max(0, total - sum(parts))]:
        parts[place] += 1
    return parts


@dataclass(frozen=True, slots=True)
class Bar:
    """A bar of the waterfall from `low` to `high`, as shares of the whole width (0 to 1)."""

    low: Fraction
    high: Fraction

    @property
    def length(self) -> Fraction:
        return self.high - self.low


@dataclass(frozen=True, slots=True)
class Waterfall:
    """Bars from price to margin on one scale with zero: sums stand on zero, costs hang where the last ended."""

    price: Bar
    direct: tuple[Bar, ...]
    contribution: Bar
    fixed: tuple[Bar, ...]
    margin: Bar


def waterfall(price: int, direct: Sequence[int], fixed: Sequence[int]) -> Waterfall:
    """The picture of a margin: what is paid, what each cost takes from it, and what is left."""
    levels = list(accumulate((price, *(-cost for cost in (*direct, *fixed)))))
    lowest, highest = min(0, *levels), max(0, *levels)
    width = highest - lowest or 1

    def bar(one: int, other: int) -> Bar:
        low, high = sorted((one, other))
        return Bar(Fraction(low - lowest, width), Fraction(high - lowest, width))

    falls = [bar(before, after) for before, after in zip(levels, levels[1:], strict=False)]
    cut = len(direct)
    return Waterfall(bar(0, price), tuple(falls[:cut]), bar(0, levels[cut]), tuple(falls[cut:]), bar(0, levels[-1]))
