"""Sharing supply out among places, exactly: a flow from stocks to places that grows and is never shrunk.

A place keeps the number it was given, but not the stocks behind it: they are exchanged when that makes room elsewhere.
So a draw falls short only when no way of sharing the supply out could cover it beside all earlier draws.
"""

from collections import Counter
from collections.abc import Iterable, Iterator
from datetime import date
from itertools import pairwise

from apiary_ops.allocation.compute.rows import Supply


class Stock:
    """A supply while it is shared out: how many are spare, and how many each place draws."""

    __slots__ = ("drawn", "spare", "supply")

    def __init__(self, supply: Supply) -> None:
        self.supply = supply
        self.spare = supply.count
        self.drawn: Counter[Place] = Counter()


class Place:
    """One kind at one yard in one week, with the stocks good for it, soonest collect-by first.

    At least as many as can still be given here are in `room`. It only falls, because what was given stays given; so it
    turns most hopeless draws away without a search.
    """

    __slots__ = ("ready", "room", "stocks")

    def __init__(self, stocks: list[Stock]) -> None:
        self.stocks = stocks
        self.ready = sum(stock.supply.count for stock in stocks)
        self.room = self.ready


Trail = list[tuple[Place, Stock]]


class Pool:
    """All supplies, looked up by place."""

    def __init__(self, supplies: Iterable[Supply]) -> None:
        self._by_kind: dict[str, list[Stock]] = {}
        self._places: dict[tuple[str, str, date], Place] = {}
        for supply in sorted(supplies, key=lambda supply: (supply.collect_by_week, supply.key)):
            self._by_kind.setdefault(supply.kind, []).append(Stock(supply))

    def place(self, kind: str, yard: str, week: date) -> Place:
        """The one place for this kind, yard and week; an empty yard is any yard."""
        key = (kind, yard, week)
        if key not in self._places:
            stocks = self._by_kind.get(kind, [])
            self._places[key] = Place([stock for stock in stocks if _is_good_for(stock.supply, yard, week)])
        return self._places[key]


def _is_good_for(supply: Supply, yard: str, week: date) -> bool:
    reachable = not yard or not supply.yard or yard == supply.yard
    return reachable and supply.ready_week <= week <= supply.collect_by_week


def draw(place: Place, wanted: int) -> int:
    """Give up to `wanted` at the place and return how many; every other place keeps its number."""
    wanted = min(wanted, place.room)
    given = 0
    while given < wanted:
        trail = _find_trail(place)
        if not trail:
            place.room = given
            break
        given += _shift(trail, wanted - given)
    place.room -= given
    return given


def draw_whole(place: Place, quantity: int) -> bool:
    """Give all of `quantity` at the place, or nothing; returns whether it was given."""
    if quantity > place.room:
        return False
    given = draw(place, quantity)
    if given < quantity:
        _give_back(place, given)
    return given == quantity


def room(place: Place) -> int:
    """Exactly how many can still be given at the place."""
    _give_back(place, draw(place, place.room))
    return place.room


def bind(place: Place, quantity: int) -> Iterator[tuple[Supply, int]]:
    """Hand out `quantity` of what the place drew, soonest collect-by first, by supply. Only when all draws are done."""
    for stock in place.stocks:
        part = min(quantity, stock.drawn[place])
        if part:
            stock.drawn[place] -= part
            quantity -= part
            yield stock.supply, part


def _give_back(place: Place, quantity: int) -> None:
    """Take the draw just made at the place back."""
    place.room += quantity
    for stock in reversed(place.stocks):
        part = min(quantity, stock.drawn[place])
        stock.drawn[place] -= part
        stock.spare += part
        quantity -= part


def _find_trail(start: Place) -> Trail:
    """The shortest chain of exchanges that ends with more at `start`; empty when there is none.

    Listed from the far end: each place gains from the stock beside it. The first stock is spare; every later one is let
    go by the place before it (an augmenting path, searched breadth first).
    """
    drawn_from: dict[Place, Stock | None] = {start: None}
    gained_by: dict[Stock, Place] = {}
    waiting = [start]
    for place in waiting:
        for stock in place.stocks:
            if stock in gained_by:
                continue
            gained_by[stock] = place
            if stock.spare:
                return _trail_back(stock, gained_by, drawn_from)
            for other, quantity in stock.drawn.items():
                if quantity and other not in drawn_from:
                    drawn_from[other] = stock
                    waiting.append(other)
    return []


def _trail_back(end: Stock, gained_by: dict[Stock, Place], drawn_from: dict[Place, Stock | None]) -> Trail:
    trail: Trail = []
    stock: Stock | None = end
    while stock:
        place = gained_by[stock]
        trail.append((place, stock))
        stock = drawn_from[place]
    return trail


def _shift(trail: Trail, wanted: int) -> int:
    """Move up to `wanted` along the trail and return how many."""
    _, source = trail[0]
    exchanges = [(place, let_go) for (place, _), (_, let_go) in pairwise(trail)]
    moved = min(wanted, source.spare, *(let_go.drawn[place] for place, let_go in exchanges))
    source.spare -= moved
    for place, gained in trail:
        gained.drawn[place] += moved
    for place, let_go in exchanges:
        let_go.drawn[place] -= moved
    return moved
