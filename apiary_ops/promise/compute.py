"""How many more nucs of a kind may be promised in a round, and where that number comes from.

The supply is what a late spring lets the yards make, plus the nucs already made. Kinds are made of the same bees and
brood: each nuc takes its share of all that could be made of its kind, and the shares of a round never exceed one.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from fractions import Fraction


@dataclass(frozen=True)
class Span:
    """A round: `starts_on <= day < ends_before`, both Mondays."""

    key: int
    starts_on: date
    ends_before: date


@dataclass(frozen=True)
class Kind:
    """A kind of nuc: weeks from make-up to sale, and the share of introduced queens still laying at sale."""

    key: int
    weeks_to_sale: int
    laying_rate: Fraction


@dataclass(frozen=True)
class Stock:
    """Nucs already made, which can be collected from `ready_on` to `collect_by`."""

    kind: int
    ready_on: date
    collect_by: date
    nucs: int


@dataclass(frozen=True)
class Outlook:
    """All that a safe number rests on.

    `could_make` is by kind and make-up week: nucs a late spring lets the yards make by the end of that week, were
    only that kind made. `made_since` counts nucs made after that forecast: they stand in `stock`, and their frames
    are gone from it. `owed` is what stays to be handed over of what was promised, by round and kind.
    """

    rounds: tuple[Span, ...]
    kinds: tuple[Kind, ...]
    could_make: Mapping[tuple[int, date], int]
    stock: tuple[Stock, ...] = ()
    made_since: Mapping[int, int] | None = None
    owed: Mapping[tuple[int, int], int] | None = None
    release_percent: int = 100


@dataclass(frozen=True)
class Step:
    """One line of how a number comes about; the steps of a number add up to it, the parts being signed."""

    what: str
    nucs: int


@dataclass(frozen=True)
class Safe:
    """The answer for one kind in one round.

    `room` more may be promised. `short` is how many of this kind would have to give way for everything owed up to
    this round to be kept in a late spring, were this kind alone to give way; 0 when all is kept. `limited_by` is the
    round whose count limits, this one or a later one.
    """

    round: int
    kind: int
    room: int
    short: int
    limited_by: int
    steps: tuple[Step, ...]


def safe_numbers(outlook: Outlook) -> tuple[Safe, ...]:
    """The safe number of every kind in every round, rounds in time order."""
    outlook = replace(outlook, stock=merged(in_time(outlook), outlook.stock))
    return tuple(
        safe_number(outlook, round_key=span.key, kind_key=kind.key)
        for span in in_time(outlook)
        for kind in outlook.kinds
    )


def safe_number(outlook: Outlook, *, round_key: int, kind_key: int) -> Safe:
    """How many more of a kind may be promised in a round so that this and every later round is still kept.

    Counts are cumulative: what an earlier round leaves serves a later one, and a later round's shortage limits the
    earlier ones. Never below 0. Raises KeyError for a round or a kind that is not in the outlook.
    """
    rounds = in_time(outlook)
    places = {span.key: place for place, span in enumerate(rounds)}
    first = places[round_key]
    kind = {row.key: row for row in outlook.kinds}[kind_key]
    answers = [_at(outlook, kind, first, place) for place in range(first, len(rounds))]
    least = min(answers, key=lambda answer: answer.left)
    here = answers[0]
    return Safe(
        round=round_key,
        kind=kind_key,
        room=max(0, least.left),
        short=max(0, -here.left),
        limited_by=rounds[least.place].key,
        steps=least.steps,
    )


def room_behind(room: int, ahead: Sequence[int]) -> int:
    """What is left of `room` for someone behind the quantities `ahead`: each that fits whole takes its nucs first."""
    for nucs in ahead:
        if nucs <= room:
            room -= nucs
    return room


def in_time(outlook: Outlook) -> tuple[Span, ...]:
    """The rounds in the order in which they must be served."""
    return tuple(sorted(outlook.rounds, key=lambda span: (span.ends_before, span.starts_on, span.key)))


def last_make_up_week(span: Span, kind: Kind) -> date:
    """The Monday of the last week in which a nuc for this round can be made: ready in the round's last week."""
    return span.ends_before - timedelta(weeks=1 + kind.weeks_to_sale)


def still_to_make(rounds: Sequence[Span], owed: Sequence[int], stock: Sequence[Stock]) -> list[int]:
    """Nucs of one kind to be made by each round, counted from the first, after all that stands has been given.

    Rounds come in time order. A nuc is given only to a round in which it is ready and still keeps; those that keep
    shortest go first.
    """
    shelf = sorted(stock, key=lambda row: (row.collect_by, row.ready_on))
    left = [row.nucs for row in shelf]
    missing = 0
    by_round: list[int] = []
    for span, asked in zip(rounds, owed, strict=True):
        for place, row in enumerate(shelf):
            if _serves(row, span):
                given = min(asked, left[place])
                left[place] -= given
                asked -= given
        missing += asked
        by_round.append(missing)
    return by_round


def merged(rounds: Sequence[Span], stock: Sequence[Stock]) -> tuple[Stock, ...]:
    """The same nucs in fewer rows: those of a kind that can serve the same rounds stand together."""
    groups: dict[tuple[int, tuple[int, ...]], Stock] = {}
    for row in stock:
        key = (row.kind, tuple(span.key for span in rounds if _serves(row, span)))
        standing = groups.get(key)
        groups[key] = replace(row, nucs=row.nucs + standing.nucs) if standing else row
    return tuple(groups.values())


def _serves(row: Stock, span: Span) -> bool:
    return row.ready_on < span.ends_before and row.collect_by >= span.starts_on


@dataclass(frozen=True)
class _Answer:
    """The count at one round: nucs left for the kind asked about, below 0 when promises exceed them."""

    place: int
    left: int
    steps: tuple[Step, ...]


def _at(outlook: Outlook, kind: Kind, first: int, place: int) -> _Answer:
    """The count at round `place` for more of `kind` promised in round `first`."""
    rounds = in_time(outlook)
    span = rounds[place]
    could, laying, released = _made_for(outlook, kind, span)
    before_others, open_ = _left_by_others(outlook, kind, place, released)
    owed = _owed(outlook, kind, rounds)
    stock = [row for row in outlook.stock if row.kind == kind.key]
    more = _most(open_, rounds, owed, stock, first, place)
    asked = list(owed)
    asked[first] += more
    from_stock = sum(asked[: place + 1]) - still_to_make(rounds, asked, stock)[place]
    steps = (
        Step("could make", could),
        Step("queens that fail", laying - could),
        Step("not yet released", released - laying),
        Step("made since", before_others - released),
        Step("other kinds", open_ - before_others),
        Step("already made", from_stock),
        Step("promised", -sum(owed[: place + 1])),
    )
    return _Answer(place, sum(step.nucs for step in steps), steps)


def _most(
    open_: int, rounds: Sequence[Span], owed: Sequence[int], stock: Sequence[Stock], first: int, place: int
) -> int:
    """The most that can be added in round `first` while no more than `open_` need be made by round `place`.

    One more asked is at most one more to make, so halving the interval finds it.
    """

    def fits(more: int) -> bool:
        asked = list(owed)
        asked[first] += more
        return still_to_make(rounds, asked, stock)[place] <= open_

    low, high = 0, open_ + sum(row.nucs for row in stock) + 1
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (middle, high) if fits(middle) else (low, middle)
    return low


def _made_for(outlook: Outlook, kind: Kind, span: Span) -> tuple[int, int, int]:
    """Nucs of a kind a late spring makes in time for a round; those with a laying queen at sale; those released."""
    deadline = last_make_up_week(span, kind)
    weeks = (nucs for (key, week), nucs in outlook.could_make.items() if key == kind.key and week <= deadline)
    could = max(weeks, default=0)
    laying = int(could * kind.laying_rate)
    return could, laying, laying * outlook.release_percent // 100


def _left_by_others(outlook: Outlook, kind: Kind, place: int, released: int) -> tuple[int, int]:
    """What stays of `released` after nucs made since the forecast, and then after what other kinds need by then."""
    rounds = in_time(outlook)
    span = rounds[place]
    gone = others = Fraction(0)
    for other in outlook.kinds:
        could, _, its_released = _made_for(outlook, other, span)
        gone += _share((outlook.made_since or {}).get(other.key, 0), could)
        if other.key != kind.key:
            stock = [row for row in outlook.stock if row.kind == other.key]
            needed = still_to_make(rounds, _owed(outlook, other, rounds), stock)[place]
            others += _share(needed, its_released)
    before_others = int(released * max(Fraction(0), 1 - gone))
    return before_others, int(released * max(Fraction(0), 1 - gone - others))


def _share(nucs: int, of: int) -> Fraction:
    """`nucs` as a share; whoever needs some where there are none takes it all."""
    if not nucs:
        return Fraction(0)
    return Fraction(nucs, of) if of else Fraction(1)


def _owed(outlook: Outlook, kind: Kind, rounds: Sequence[Span]) -> list[int]:
    return [(outlook.owed or {}).get((span.key, kind.key), 0) for span in rounds]
