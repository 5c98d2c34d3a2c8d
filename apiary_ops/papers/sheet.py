"""From header and blocks to the bytes of a PDF: pages, margins, running head and foot."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date
from functools import partial
from io import BytesIO
from threading import Lock
from typing import Any, Literal

from reportlab.lib import pagesizes
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import BaseDocTemplate, Flowable, Frame, NextPageTemplate, PageTemplate

from apiary_ops.papers import blocks
from apiary_ops.papers.grid import THIN, Grid, Row, Strip, draw_rule, pieces
from apiary_ops.papers.lettering import BOLD, GUTTER, REGULAR, SOFT_INK, Face, clip, printable, width_of, wrap
from apiary_ops.papers.words import Words, current_words

PageSize = Literal["A4", "Letter"]

SIDE_MARGIN = 54.0
TOP_MARGIN = 48.0
LATER_TOP_MARGIN = 72.0
BOTTOM_MARGIN = 72.0
RUNNING_HEAD_BELOW_EDGE = 46.0
FOOT_ABOVE_EDGE = 40.0

BUSINESS = Face(BOLD, 13, 18)
ADDRESS = Face(REGULAR, 8.5, 12, SOFT_INK)
FURNITURE = Face(REGULAR, 8, 11, SOFT_INK)

# A font that reportlab has registered reads its file at one place for all threads: two papers written at once mix.
_WRITING = Lock()

_SIZES: dict[PageSize, tuple[float, float]] = {"A4": pagesizes.A4, "Letter": pagesizes.LETTER}


@dataclass(frozen=True, slots=True)
class PaperHeader:
    """Who sends the paper, what must be minded, and the paper it is printed on."""

    business_name: str
    address_lines: tuple[str, ...]
    contact_line: str
    cautions: tuple[str, ...]
    page_size: PageSize


def build(
    header: PaperHeader,
    content: Sequence[blocks.Block],
    *,
    title: str,
    printed_on: date,
    number: str = "",
    words: Words | None = None,
) -> bytes:
    """The paper as PDF. The same arguments give the same bytes.

    `title` and `number` name the paper in its running head, its foot and the file's own properties; the large heading
    on the page is the block `title`. The header's cautions close the paper in a box. `words` default to the reader's
    language.
    """
    words = words or current_words()
    name = f"{title} {number}".strip()
    width, height = _SIZES[header.page_size]
    inner_width = width - 2 * SIDE_MARGIN
    story: list[Flowable] = [NextPageTemplate("later"), _letterhead(header, inner_width)]
    for block in (*content, blocks.cautions(header.cautions)):
        story += block.flowables(inner_width, words)

    output = BytesIO()
    document = BaseDocTemplate(
        output,
        pagesize=(width, height),
        title=printable(name),
        author=printable(header.business_name),
        lang=words.language,
        invariant=1,
    )
    document.addPageTemplates(
        [_page_template("first", width, height, TOP_MARGIN), _page_template("later", width, height, LATER_TOP_MARGIN)]
    )
    furniture = _Furniture(
        header.business_name, name, words.printed.format(date=words.date_text(printed_on)), words.page
    )
    with _WRITING:
        document.build(story, canvasmaker=partial(_CountingCanvas, furnish=furniture.draw))
    return output.getvalue()


def _letterhead(header: PaperHeader, width: float) -> Flowable:
    """Business name on the left, address and contact ranged right."""
    half = width / 2
    name, address = Strip(0, half - GUTTER), Strip(half, half, "right")
    address_text = "\n".join(line for line in (*header.address_lines, header.contact_line) if line)
    cells = (wrap(header.business_name, BUSINESS, name.width), wrap(address_text, ADDRESS, address.width))
    return Grid([name, address], list(pieces(Row(cells, (BUSINESS, ADDRESS)))), space_after=8)


def _page_template(name: str, width: float, height: float, top_margin: float) -> PageTemplate:
    frame = Frame(
        SIDE_MARGIN,
        BOTTOM_MARGIN,
        width - 2 * SIDE_MARGIN,
        height - top_margin - BOTTOM_MARGIN,
        leftPadding=0,
        rightPadding=0,
        topPadding=0,
        bottomPadding=0,
    )
    return PageTemplate(name, [frame])


@dataclass(frozen=True, slots=True)
class _Furniture:
    """What stands outside the text on each page."""

    business_name: str
    name: str
    printed: str
    page_words: str

    def draw(self, canvas: Canvas, page: int, pages: int) -> None:
        width, height = canvas._pagesize
        if page > 1:
            head_height = height - RUNNING_HEAD_BELOW_EDGE
            self._draw_pair(canvas, self.business_name, self.name, width, head_height)
            draw_rule(canvas, THIN, SIDE_MARGIN, width - SIDE_MARGIN, head_height - 7)
        draw_rule(canvas, THIN, SIDE_MARGIN, width - SIDE_MARGIN, FOOT_ABOVE_EDGE + 13)
        page_text = self.page_words.format(page=page, pages=pages)
        self._draw_pair(canvas, f"{self.name} · {self.printed}", page_text, width, FOOT_ABOVE_EDGE)

    def _draw_pair(self, canvas: Canvas, left: str, right: str, width: float, height: float) -> None:
        room = width / 2 - SIDE_MARGIN - GUTTER
        canvas.setFont(FURNITURE.font, FURNITURE.size)
        canvas.setFillColor(FURNITURE.ink)
        canvas.drawString(SIDE_MARGIN, height, clip(left, FURNITURE, room))
        ending = clip(right, FURNITURE, room)
        canvas.drawString(width - SIDE_MARGIN - width_of(ending, FURNITURE), height, ending)


class _CountingCanvas(Canvas):  # type: ignore[misc]  # reportlab is untyped
    """A canvas that holds its pages back until it can say how many there are."""

    def __init__(self, *args: Any, furnish: Callable[[Canvas, int, int], None], **options: Any) -> None:
        super().__init__(*args, **options)
        self._furnish = furnish
        self._held_pages: list[dict[str, Any]] = []

    def showPage(self) -> None:
        self._held_pages.append(dict(vars(self)))
        self._startPage()

    def save(self) -> None:
        held = self._held_pages
        for number, page in enumerate(held, start=1):
            self.__dict__.update(page)
            self._furnish(self, number, len(held))
            super().showPage()
        super().save()
