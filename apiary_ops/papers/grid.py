"""The one thing a paper draws: rows of wrapped lines in columns, which part between rows when a page ends.

Rows are strings placed at points, so nothing a person typed is ever parsed. A row too tall for a page is cut into
pieces beforehand (`pieces`); so every row fits a page and a long table takes one pass.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from reportlab.lib.colors import Color, HexColor
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import Flowable

from apiary_ops.papers.lettering import ELLIPSIS, INK, Face, width_of

Align = Literal["left", "right", "centre"]

GREEN = HexColor(0x1F4D36)
HAIRLINE = HexColor(0xC6CABF)
MOST_LINES_IN_A_ROW = 18
MOST_LINES_IN_A_HEAD = 12
MOST_HEIGHT_KEPT_TOGETHER = 200.0
BOX_INSET = 9.0


@dataclass(frozen=True, slots=True)
class Rule:
    """A horizontal line: thickness in points and ink."""

    thickness: float
    ink: Color


THIN = Rule(0.4, HAIRLINE)
FIRM = Rule(0.7, INK)
STRONG = Rule(1.6, GREEN)


@dataclass(frozen=True, slots=True)
class Strip:
    """One column as laid on the page: left edge and width in points."""

    left: float
    width: float
    align: Align = "left"
    is_tick_box: bool = False


@dataclass(frozen=True, slots=True)
class Row:
    """Wrapped lines and a face for each strip; `padding` in points above and below."""

    cells: tuple[tuple[str, ...], ...]
    faces: tuple[Face, ...]
    padding: float = 0.0
    rule_below: Rule | None = None
    has_tick_boxes: bool = False
    keeps_with_next: bool = False

    @property
    def height(self) -> float:
        """Height in points; a row without text is still one line high."""
        lines = (max(len(cell), 1) * face.leading for cell, face in zip(self.cells, self.faces, strict=True))
        return 2 * self.padding + max(lines)


def pieces(row: Row) -> Iterator[Row]:
    """The row itself, or rows of at most `MOST_LINES_IN_A_ROW` lines that read on as one."""
    tallest = max(map(len, row.cells))
    starts = range(0, max(tallest, 1), MOST_LINES_IN_A_ROW)
    for start in starts:
        is_last = start == starts[-1]
        yield replace(
            row,
            cells=tuple(cell[start : start + MOST_LINES_IN_A_ROW] for cell in row.cells),
            rule_below=row.rule_below if is_last else None,
            has_tick_boxes=row.has_tick_boxes and start == 0,
            keeps_with_next=row.keeps_with_next and is_last,
        )


def head_row(row: Row) -> Row:
    """The row with its lines set down on the rule below it, and cut where a head would eat the page."""
    cells = [
        (*cell[: MOST_LINES_IN_A_HEAD - 1], ELLIPSIS) if len(cell) > MOST_LINES_IN_A_HEAD else cell
        for cell in row.cells
    ]
    deepest = max(map(len, cells))
    return replace(row, cells=tuple(("",) * (deepest - len(cell)) + cell for cell in cells))


class Grid(Flowable):  # type: ignore[misc]  # reportlab is untyped
    """Rows under an optional head that every part repeats, with an optional box around each part."""

    def __init__(
        self,
        strips: Sequence[Strip],
        rows: Sequence[Row],
        *,
        head: Row | None = None,
        is_boxed: bool = False,
        space_before: float = 0,
        space_after: float = 0,
    ) -> None:
        super().__init__()
        self.strips, self.rows, self.head, self.is_boxed = strips, rows, head, is_boxed
        self.spaceBefore, self.spaceAfter = space_before, space_after

    @property
    def fixed_height(self) -> float:
        """Height in points of what every part carries besides its rows."""
        return (self.head.height if self.head else 0) + (2 * BOX_INSET if self.is_boxed else 0)

    def wrap(self, available_width: float, available_height: float) -> tuple[float, float]:
        self.width, self.height = available_width, self.fixed_height + sum(row.height for row in self.rows)
        return self.width, self.height

    def split(self, available_width: float, available_height: float) -> list[Flowable]:
        """Two parts, the first as tall as fits; none when the whole must go to the next page."""
        fitting = self._rows_within(available_height - self.fixed_height)
        while fitting and self.rows[fitting - 1].keeps_with_next:
            fitting -= 1
        if not fitting:
            return []
        return [
            self._part(self.rows[:fitting], space_before=self.spaceBefore),
            self._part(self.rows[fitting:], space_after=self.spaceAfter),
        ]

    def _rows_within(self, height: float) -> int:
        for index, row in enumerate(self.rows):
            height -= row.height
            if height < 0:
                return index
        return len(self.rows)

    def _part(self, rows: Sequence[Row], *, space_before: float = 0, space_after: float = 0) -> "Grid":
        return Grid(
            self.strips,
            rows,
            head=self.head,
            is_boxed=self.is_boxed,
            space_before=space_before,
            space_after=space_after,
        )

    def draw(self) -> None:
        top = self.height
        if self.is_boxed:
            self.canv.setStrokeColor(INK)
            self.canv.setLineWidth(FIRM.thickness)
            self.canv.rect(0, 0, self.width, self.height)
            top -= BOX_INSET
        for row in (self.head, *self.rows) if self.head else self.rows:
            self._draw_row(row, top)
            top -= row.height

    def _draw_row(self, row: Row, top: float) -> None:
        for strip, cell, face in zip(self.strips, row.cells, row.faces, strict=True):
            if strip.is_tick_box and row.has_tick_boxes:
                self._draw_tick_box(strip, face, top - row.padding)
            self._draw_lines(strip, cell, face, top - row.padding)
        if row.rule_below:
            draw_rule(self.canv, row.rule_below, 0, self.width, top - row.height)

    def _draw_lines(self, strip: Strip, lines: tuple[str, ...], face: Face, top: float) -> None:
        self.canv.setFont(face.font, face.size)
        self.canv.setFillColor(face.ink)
        for number, line in enumerate(lines):
            if line:
                spare = strip.width - width_of(line, face) if strip.align != "left" else 0
                left = strip.left + (spare if strip.align == "right" else spare / 2)
                self.canv.drawString(left, top - face.baseline(number), line)

    def _draw_tick_box(self, strip: Strip, face: Face, top: float) -> None:
        side = face.leading - 1
        self.canv.setStrokeColor(INK)
        self.canv.setLineWidth(FIRM.thickness)
        self.canv.rect(strip.left + (strip.width - side) / 2, top - (face.leading + side) / 2, side, side)


class RuleLine(Flowable):  # type: ignore[misc]  # reportlab is untyped
    """A rule by itself, `width` points long from the left edge, with `room_above` to write in."""

    def __init__(self, rule: Rule, width: float, *, room_above: float = 0, space_after: float = 0) -> None:
        super().__init__()
        self.rule, self.length, self.room_above = rule, width, room_above
        self.spaceAfter = space_after

    def wrap(self, available_width: float, available_height: float) -> tuple[float, float]:
        return self.length, self.room_above + self.rule.thickness

    def draw(self) -> None:
        draw_rule(self.canv, self.rule, 0, self.length, 0)


def draw_rule(canvas: Canvas, rule: Rule, left: float, right: float, height: float) -> None:
    """Draw a rule from `left` to `right`, `height` points above the origin."""
    canvas.setStrokeColor(rule.ink)
    canvas.setLineWidth(rule.thickness)
    canvas.line(left, height, right, height)
