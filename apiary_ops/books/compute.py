"""Rules of double entry: what an entry is made of, whether it balances, and where a difference may come from."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal


@dataclass(frozen=True, slots=True)
class Posting:
    """A debit (`cents` above zero) or credit (below zero) of `account`, a key of the chart.

    `subject` says whose part of the account it is ("buyer:12"). The season is the entry's unless `season_id` names
    another. The foreign amount and its rate are memory only: the books are kept in one currency.
    """

    account: str
    cents: int
    subject: str = ""
    memo: str = ""
    season_id: int | None = None
    foreign_cents: int | None = None
    foreign_currency: str = ""
    rate: Decimal | None = None


@dataclass(frozen=True, slots=True)
class EntryDraft:
    """An entry to be posted: `source` caused it ("order:2027-0042"), and posts each `purpose` once."""

    source: str
    purpose: str
    posted_on: date
    season_id: int
    memo: str
    postings: Sequence[Posting] = field(default=())


def without_zeros(postings: Iterable[Posting]) -> list[Posting]:
    """The postings that move something."""
    return [posting for posting in postings if posting.cents]


def sides(amounts: Iterable[int]) -> tuple[int, int]:
    """Total of the debits and total of the credits, both as positive cents."""
    debits = credits = 0
    for cents in amounts:
        if cents > 0:
            debits += cents
        else:
            credits -= cents
    return debits, credits


@dataclass(frozen=True, slots=True)
class Slip:
    """A likely cause of a difference: "wrong side" or "left out" with the amount meant, or "transposed" with 0."""

    kind: str
    cents: int


def likely_slips(amounts: Sequence[int]) -> list[Slip]:
    """Where the difference between debits and credits may come from, likeliest first; none when they agree.

    An amount of half the difference on the larger side may stand on the wrong side; an amount equal to it may lack
    its counterpart; a difference divisible by nine comes from two digits that changed places, or a zero too many.
    Source: Principles of Accounting, Volume 1 (OpenStax 2019), section 3.6.
    """
    difference = sum(amounts)
    if not difference:
        return []
    slips = []
    if difference % 2 == 0 and difference // 2 in amounts:
        slips.append(Slip("wrong side", abs(difference) // 2))
    if difference in amounts:
        slips.append(Slip("left out", abs(difference)))
    if difference % 9 == 0:
        slips.append(Slip("transposed", 0))
    return slips
