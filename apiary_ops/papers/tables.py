"""Tables: rows under a head that stands again on every page."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from reportlab.platypus import Flowable

from apiary_ops.papers.blocks import Block
from apiary_ops.papers.columns import Column, lay_columns
from apiary_ops.papers.grid import FIRM, MOST_HEIGHT_KEPT_TOGETHER, THIN, Grid, Row, Strip, head_row, pieces
from apiary_ops.papers.lettering import BODY, HEAD, STRONG_BODY, Face, wrap
from apiary_ops.papers.words import Words


def table(
    columns: Sequence[Column],
    rows: Iterable[Sequence[str]],
    *,
    total_rows: Iterable[Sequence[str]] = (),
    roomy: bool = False,
) -> Block:
    """A ruled table whose head stands again on each page it runs to.

    A row holds one text for each column that is not a tick box; an empty text leaves room to write by hand. `roomy`
    rows are tall enough for a pencil and gloves. The totals are bold, follow a firm rule and never start a page
    without the row before them. Raises ValueError for a row of the wrong length and for a table without text.
    """
    block = _Table(tuple(columns), tuple(map(tuple, rows)), tuple(map(tuple, total_rows)), roomy)
    texts = sum(not column.is_tick_box for column in block.columns)
    if not texts:
        raise ValueError("A table needs at least one column of text.")
    for row in (*block.rows, *block.total_rows):
        if len(row) != texts:
            raise ValueError(f"A row has {len(row)} texts for {texts} columns of text: {row!r}.")
    return block


@dataclass(frozen=True, slots=True)
class _Table:
    columns: tuple[Column, ...]
    rows: tuple[tuple[str, ...], ...]
    total_rows: tuple[tuple[str, ...], ...]
    roomy: bool

    def flowables(self, width: float, words: Words) -> list[Flowable]:
        strips = lay_columns(self.columns, [*self.rows, *self.total_rows], width)
        padding = 8.0 if self.roomy else 3.0
        titles = tuple(
            wrap(column.title, HEAD, strip.width) for column, strip in zip(self.columns, strips, strict=True)
        )
        head = head_row(Row(titles, (HEAD,) * len(strips), padding=3.5, rule_below=FIRM))
        body = [
            piece
            for texts in self.rows
            for piece in pieces(replace(self._row(texts, strips, BODY, padding), has_tick_boxes=True))
        ]
        totals = [piece for texts in self.total_rows for piece in pieces(self._row(texts, strips, STRONG_BODY, 3.0))]
        return [Grid(strips, _closed(body, totals), head=head, space_before=6, space_after=12)]

    def _row(self, texts: tuple[str, ...], strips: list[Strip], face: Face, padding: float) -> Row:
        given = iter(texts)
        cells = tuple(("",) if strip.is_tick_box else wrap(next(given), face, strip.width) for strip in strips)
        return Row(cells, (face,) * len(strips), padding, rule_below=THIN)


def _closed(body: list[Row], totals: list[Row]) -> list[Row]:
    """Body and totals with a firm rule between, held together on one page unless that would fill half of it."""
    if not (body and totals):
        return body + totals
    last = replace(body[-1], rule_below=FIRM)
    ending = [last, *totals]
    if sum(row.height for row in ending) <= MOST_HEIGHT_KEPT_TOGETHER:
        ending[:-1] = [replace(row, keeps_with_next=True) for row in ending[:-1]]
    return body[:-1] + ending
