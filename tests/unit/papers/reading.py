"""Reading a built paper back, for the tests of papers."""

from collections.abc import Sequence
from datetime import date
from io import BytesIO

import pdfplumber
from pypdf import PdfReader

from apiary_ops.papers import Block, PageSize, PaperHeader, Words, build

LONG_WORD = "Hundredmetre" * 25  # 300 letters without a space
PRINTED_ON = date(2027, 5, 3)


def header(page_size: PageSize = "A4", **changes: object) -> PaperHeader:
    given = {
        "business_name": "Alder Bank Bees",
        "address_lines": ("Mill Lane 4", "Lower Thornby"),
        "contact_line": "office@alderbank.example",
        "cautions": ("A nuc is heavy: lift with two.",),
        "page_size": page_size,
    }
    return PaperHeader(**(given | changes))


def built(
    content: Sequence[Block], *, on: PaperHeader | None = None, title: str = "Invoice", number: str = ""
) -> bytes:
    return build(on or header(), content, title=title, number=number, printed_on=PRINTED_ON, words=Words())


def page_texts(pdf: bytes) -> list[str]:
    return [page.extract_text() for page in PdfReader(BytesIO(pdf)).pages]


def whole_text(pdf: bytes) -> str:
    return "\n".join(page_texts(pdf))


def placed_letters(pdf: bytes) -> list[dict]:
    """Every letter with its place and the size of its page."""
    with pdfplumber.open(BytesIO(pdf)) as document:
        return [
            letter | {"page_width": page.width, "page_height": page.height}
            for page in document.pages
            for letter in page.chars
        ]


def lines_of_page(pdf: bytes, page: int) -> list[str]:
    """Text lines of a page as they stand, counted from 0."""
    with pdfplumber.open(BytesIO(pdf)) as document:
        return document.pages[page].extract_text().splitlines()


def words_of_page(pdf: bytes, page: int) -> list[dict]:
    with pdfplumber.open(BytesIO(pdf)) as document:
        return document.pages[page].extract_words()


def boxes_of_page(pdf: bytes, page: int) -> list[dict]:
    with pdfplumber.open(BytesIO(pdf)) as document:
        return document.pages[page].rects
