"""What a live queen really cost: purchase, freight and papers over the queens that arrived alive.

Rules: IAS 2.10 and 2.16 as restated in the textbook figures of the checks: expected loss raises the cost of the
survivors, loss beyond it is an expense of its period.
"""

from dataclasses import dataclass
from fractions import Fraction
from math import ceil

from apiary_ops.kernel.shares import shares

# Common practice: 1 to 3 % of a shipment arrive dead. Up to this share, rounded up, the loss is ordinary.
ORDINARY_DEAD_SHARE = Fraction(3, 100)

# Common practice: a banked queen is good to about 7 days and poor after 14 to 21.
GOOD_BANK_DAYS = 7


@dataclass(frozen=True, slots=True)
class LandedCost:
    """One lot's cost in cents: `total_cents` = `landed_cents` (on the `live` queens) + `loss_cents` (the period's)."""

    total_cents: int
    live: int
    ordinary_dead: int
    extraordinary_dead: int
    landed_cents: int
    loss_cents: int

    @property
    def least_cents(self) -> int:
        """What the cheapest live queen cost; 0 when none lives."""
        return self.landed_cents // self.live if self.live else 0

    @property
    def most_cents(self) -> int:
        """What the dearest live queen cost: a cent more where the cost does not divide evenly."""
        return -(-self.landed_cents // self.live) if self.live else 0


def ordinary_dead(received: int) -> int:
    """How many of `received` queens may arrive dead before the loss is more than ordinary."""
    return ceil(received * ORDINARY_DEAD_SHARE)


def landed_cost(
    *, received: int, dead_on_arrival: int, unit_price_cents: int, freight_cents: int, papers_cents: int
) -> LandedCost:
    """The landed cost of a lot; all `received` queens are paid for, dead or alive.

    Ordinary deaths raise the cost of the others. Each death beyond carries the same share as a live queen, and that
    share is a loss of the period. Where no queen lives there is nobody to carry anything: all of it is a loss.
    Raises ValueError for a negative amount, or more dead than received.
    """
    if not 0 <= dead_on_arrival <= received or received < 1:
        raise ValueError(f"Of {received} queens {dead_on_arrival} cannot be dead.")
    if min(unit_price_cents, freight_cents, papers_cents) < 0:
        raise ValueError("A part of a landed cost cannot be below zero.")
    total = unit_price_cents * received + freight_cents + papers_cents
    live = received - dead_on_arrival
    ordinary = min(dead_on_arrival, ordinary_dead(received))
    extraordinary = dead_on_arrival - ordinary
    landed, loss = shares(total, [live, extraordinary]) if live else (0, total)
    return LandedCost(total, live, ordinary, extraordinary, landed, loss)


def cost_of_queens(landed_cents: int, live: int, *, taken: int, queens: int) -> int:
    """The cost in cents of the next `queens` of a lot of which `taken` have left, however they left.

    Queens leave in one fixed order, the dearer cents first, so that any steps add up to the landed cost.
    Raises ValueError when the lot has not that many left.
    """
    if taken < 0 or queens < 0 or taken + queens > live:
        raise ValueError(f"Of {live} queens {taken} have left; {queens} more cannot.")
    return sum(shares(landed_cents, [1] * live)[taken : taken + queens]) if live else 0
