"""Letters on paper: the typeface, what it can print, how wide it runs and where a line breaks.

The typeface is a condensed sans shipped in `fonts/` with its licence. In full: Latin (Vietnamese and all European
languages among them), Greek, Cyrillic, Armenian, Georgian and Tifinagh. Hebrew and Arabic letters print, but from
left to right and unjoined. Scripts it lacks (Chinese, Japanese, Korean, Thai, Devanagari, Ethiopic and others) print
one `REPLACEMENT` for each letter, so that a missing name is seen on the page instead of silently left out.
"""

import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from threading import Lock

from reportlab.lib.colors import Color, HexColor
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont

REGULAR = "PaperSans"
BOLD = "PaperSans-Bold"
REPLACEMENT = "\N{REPLACEMENT CHARACTER}"
ELLIPSIS = "…"
GUTTER = 10.0

INK = HexColor(0x1E211C)
SOFT_INK = HexColor(0x555B53)

_FILES = {REGULAR: "DejaVuSansCondensed.ttf", BOLD: "DejaVuSansCondensed-Bold.ttf"}
_FOLDER = Path(__file__).parent / "fonts"
_REGISTERING = Lock()
_LINE_ENDS = str.maketrans(dict.fromkeys("\r\v\f\x1c\x1d\x1e\x85\u2028\u2029", "\n"))


@dataclass(frozen=True, slots=True)
class Face:
    """One way to set text: font, size and leading in points, ink."""

    font: str
    size: float
    leading: float
    ink: Color = INK

    def baseline(self, line: int) -> float:
        """Depth of a line's baseline below the top of its block, in points, with capitals centred in the leading."""
        capital_height = 0.73 * self.size
        return line * self.leading + (self.leading + capital_height) / 2


TITLE = Face(BOLD, 17, 22)
SUBTITLE = Face(REGULAR, 10.5, 15, SOFT_INK)
HEADING = Face(BOLD, 11, 15)
BODY = Face(REGULAR, 9.5, 14)
STRONG_BODY = Face(BOLD, 9.5, 14)
LABEL = Face(REGULAR, 9.5, 14, SOFT_INK)
HEAD = Face(BOLD, 8.5, 11.5)
SMALL = Face(REGULAR, 8.5, 12, SOFT_INK)
NOTE = Face(REGULAR, 8.5, 12)


@cache
def letters() -> frozenset[int]:
    """Code points that both weights can print. The first call registers the typeface with reportlab."""
    with _REGISTERING:
        if REGULAR not in pdfmetrics.getRegisteredFontNames():
            for name, file_name in _FILES.items():
                pdfmetrics.registerFont(TTFont(name, _FOLDER / file_name))
        regular, bold = (pdfmetrics.getFont(name).face.charToGlyph for name in (REGULAR, BOLD))
    return frozenset(regular.keys() & bold.keys())


def printable(text: str) -> str:
    """The text as the typeface can print it: composed, line ends as newlines, unknown letters as `REPLACEMENT`."""
    text = str(text)  # a text still to be translated is made into letters here
    if text.isascii() and text.isprintable():
        return text
    composed = unicodedata.normalize("NFC", text.replace("\r\n", "\n").translate(_LINE_ENDS))
    return "".join(_printable_letter(letter) for letter in composed)


def _printable_letter(letter: str) -> str:
    if letter == "\n":
        return letter
    match unicodedata.category(letter):
        case "Cf":
            return ""
        case "Cc":
            return " "
        case "Zs" if ord(letter) not in letters():
            return " "
    return letter if ord(letter) in letters() else REPLACEMENT


def width_of(text: str, face: Face) -> float:
    """Width in points of a line that `printable` has passed."""
    letters()
    return float(pdfmetrics.stringWidth(text, face.font, face.size))


def wrap(text: str, face: Face, width: float) -> tuple[str, ...]:
    """Lines no wider than `width` points. Only a word wider than that breaks; an empty text is one empty line."""
    return tuple(line for part in printable(text).split("\n") for line in _fill(part, face, width))


def clip(text: str, face: Face, width: float) -> str:
    """The text on one line, ended by an ellipsis where it would be wider than `width` points."""
    line = " ".join(printable(text).split())
    if width_of(line, face) <= width:
        return line
    return next(_broken(line, face, width - width_of(ELLIPSIS, face)), "").rstrip() + ELLIPSIS


def _fill(text: str, face: Face, width: float) -> Iterator[str]:
    if width_of(text, face) <= width:
        yield text
        return
    line = ""
    for word in text.split(" "):
        longer = f"{line} {word}" if line else word
        if width_of(longer, face) <= width:
            line = longer
            continue
        if line:
            yield line
        *full, line = _broken(word, face, width) if word else ("",)
        yield from full
    yield line


def _broken(word: str, face: Face, width: float) -> Iterator[str]:
    """Pieces of a word that fit. A loose accent has no width in this typeface, so it stays with its letter."""
    start, used = 0, 0.0
    for position, letter in enumerate(word):
        advance = width_of(letter, face)
        if used + advance > width and position > start:
            yield word[start:position]
            start, used = position, 0.0
        used += advance
    yield word[start:]
