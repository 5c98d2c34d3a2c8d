"""How wide the columns of a table stand."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from apiary_ops.papers.grid import Align, Strip
from apiary_ops.papers.lettering import GUTTER, HEAD, STRONG_BODY, Face, printable, width_of

NARROWEST = 20.0
WIDEST_NEED = 100.0


@dataclass(frozen=True, slots=True)
class Column:
    """A table column: its head, where its text stands, and its share of the width.

    Shares are weighed against each other, and give way so that no number and no short word breaks over two lines.
    """

    title: str
    align: Align = "left"
    share: float = 1.0
    is_tick_box: bool = False


def tick_box(title: str = "") -> Column:
    """A narrow column with an empty box on every body row, to be ticked by hand. Rows carry no text for it."""
    return Column(title, "centre", share=0, is_tick_box=True)


def lay_columns(columns: Sequence[Column], rows: Sequence[Sequence[str]], width: float) -> list[Strip]:
    """Strips side by side over `width` points, a gutter between them.

    Rows have no text for tick boxes. Raises ValueError when there are more columns than the page can hold.
    """
    room = width - GUTTER * (len(columns) - 1)
    if room < NARROWEST * len(columns):
        raise ValueError(f"{len(columns)} columns do not fit on the page; print fewer columns.")
    texts = iter(zip(*rows, strict=True))
    needs = [_need(column, () if column.is_tick_box else next(texts, ())) for column in columns]
    strips, left = [], 0.0
    for column, span in zip(columns, share_out([column.share for column in columns], needs, room), strict=True):
        strips.append(Strip(left, span, column.align, column.is_tick_box))
        left += span + GUTTER
    return strips


def share_out(shares: Sequence[float], needs: Sequence[float], room: float) -> list[float]:
    """Widths that fill `room` by share, save that a column whose share is too small gets what it needs.

    Needs are at least `NARROWEST`; where together they pass the room, what they need above that is cut in proportion.
    """
    least = NARROWEST * len(needs)
    if sum(needs) >= room:
        above_least = sum(needs) - least
        cut = (room - least) / above_least if above_least else 0
        return [NARROWEST + cut * (need - NARROWEST) for need in needs]
    held: set[int] = set()
    while True:
        free = [index for index in range(len(needs)) if index not in held]
        weight = sum(shares[index] for index in free)
        each = (room - sum(needs[index] for index in held)) / weight if weight else 0
        short = {index for index in free if shares[index] * each < needs[index]}
        if not short:
            return [need if index in held else shares[index] * each for index, need in enumerate(needs)]
        held |= short


def _need(column: Column, texts: Iterable[str]) -> float:
    """Width in points that keeps numbers whole, and words too unless they are very long."""
    widest = _longest_word(column.title, HEAD)
    for text in set(texts):
        longest = (
            width_of(printable(text), STRONG_BODY) if column.align == "right" else _longest_word(text, STRONG_BODY)
        )
        widest = max(widest, longest)
    return min(max(widest + 0.5, NARROWEST), WIDEST_NEED)


def _longest_word(text: str, face: Face) -> float:
    return max((width_of(word, face) for word in printable(text).split()), default=0.0)
