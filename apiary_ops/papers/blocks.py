"""The blocks a paper is made of. Each is a frozen value; it becomes something drawable only inside `sheet.build`."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Protocol

from reportlab.platypus import CondPageBreak, Flowable

from apiary_ops.papers.grid import FIRM, MOST_HEIGHT_KEPT_TOGETHER, STRONG, Grid, Row, RuleLine, Strip, pieces
from apiary_ops.papers.lettering import BODY, GUTTER, HEADING, LABEL, NOTE, SMALL, SUBTITLE, TITLE, Face, wrap
from apiary_ops.papers.words import Words

SIGNATURE_WIDTH = 240.0
LABEL_SHARE = 0.26


class Block(Protocol):
    """Something that can stand on a paper."""

    def flowables(self, width: float, words: Words) -> list[Flowable]:
        """What to draw, in order, on a page `width` points wide between its margins."""


def title(text: str, subtitle: str = "") -> Block:
    """The paper's own name over a green rule, with a softer line for what it is about."""
    return _Title(text, subtitle)


def heading(text: str) -> Block:
    """A heading between blocks."""
    return _Heading(text)


def paragraph(text: str) -> Block:
    """Running text; newlines are kept."""
    return _Paragraph(text)


def facts(pairs: Iterable[tuple[str, str]]) -> Block:
    """Labels on the left, their values on the right, one pair a row."""
    return _Facts(tuple(pairs))


def signature_line(label: str) -> Block:
    """A line to sign on, with what the signature means beneath it."""
    return _SignatureLine(label)


def cautions(texts: Iterable[str]) -> Block:
    """Cautions in a box, where the danger is. The header's own cautions close every paper without being asked."""
    return _Cautions(tuple(texts))


def lines(text: str, face: Face, width: float) -> list[Row]:
    """The text as rows of one line each, which part anywhere."""
    return [Row(((line,),), (face,)) for line in wrap(text, face, width)]


@dataclass(frozen=True, slots=True)
class _Title:
    text: str
    subtitle: str

    def flowables(self, width: float, words: Words) -> list[Flowable]:
        rows = lines(self.text, TITLE, width)
        if self.subtitle:
            rows += lines(self.subtitle, SUBTITLE, width)
        return [
            CondPageBreak(120),
            Grid([Strip(0, width)], rows, space_before=18, space_after=5),
            RuleLine(STRONG, width, space_after=12),
        ]


@dataclass(frozen=True, slots=True)
class _Heading:
    text: str

    def flowables(self, width: float, words: Words) -> list[Flowable]:
        return [
            CondPageBreak(90),
            Grid([Strip(0, width)], lines(self.text, HEADING, width), space_before=14, space_after=4),
        ]


@dataclass(frozen=True, slots=True)
class _Paragraph:
    text: str

    def flowables(self, width: float, words: Words) -> list[Flowable]:
        return [Grid([Strip(0, width)], lines(self.text, BODY, width), space_before=4, space_after=8)]


@dataclass(frozen=True, slots=True)
class _Facts:
    pairs: tuple[tuple[str, str], ...]

    def flowables(self, width: float, words: Words) -> list[Flowable]:
        label = Strip(0, LABEL_SHARE * width - GUTTER)
        value = Strip(LABEL_SHARE * width, (1 - LABEL_SHARE) * width)
        rows = [
            piece
            for name, text in self.pairs
            for piece in pieces(
                Row((wrap(name, LABEL, label.width), wrap(text, BODY, value.width)), (LABEL, BODY), padding=1.5)
            )
        ]
        return [Grid([label, value], rows, space_before=4, space_after=12)] if rows else []


@dataclass(frozen=True, slots=True)
class _SignatureLine:
    label: str

    def flowables(self, width: float, words: Words) -> list[Flowable]:
        return [
            CondPageBreak(80),
            RuleLine(FIRM, SIGNATURE_WIDTH, room_above=38, space_after=3),
            Grid([Strip(0, width)], lines(self.label, SMALL, SIGNATURE_WIDTH), space_after=10),
        ]


@dataclass(frozen=True, slots=True)
class _Cautions:
    texts: tuple[str, ...]

    def flowables(self, width: float, words: Words) -> list[Flowable]:
        if not self.texts:
            return []
        bullet, text = Strip(12, 10), Strip(24, width - 36)
        rows = [Row(((), wrap(words.cautions, HEADING, text.width)), (BODY, HEADING), 2, keeps_with_next=True)]
        for caution in self.texts:
            rows += pieces(Row((("•",), wrap(caution, NOTE, text.width)), (NOTE, NOTE), padding=1))
        box = Grid([bullet, text], rows, is_boxed=True, space_before=12)
        height = box.wrap(width, 0)[1]
        return [CondPageBreak(min(height + 12, MOST_HEIGHT_KEPT_TOGETHER)), box]
