"""Text files with separators: which letters they are written in, what stands between the cells, and the cells."""

import csv
from collections import Counter
from io import StringIO
from itertools import islice

from apiary_ops.kernel.formulas import unquoted

from .faults import Saying, Unreadable, gettext_noop
from .grid import MOST_COLUMNS, MOST_ROWS, Cell, Grid, Line, Spoiled, filled

# Byte order marks: Unicode 15, table 2-13. UTF-32 is looked for first, since its mark begins like UTF-16's.
MARKS = [
    (b"\xff\xfe\0\0", "utf-32", "UTF-32"),
    (b"\0\0\xfe\xff", "utf-32", "UTF-32"),
    (b"\xef\xbb\xbf", "utf-8-sig", "UTF-8"),
    (b"\xff\xfe", "utf-16", "UTF-16"),
    (b"\xfe\xff", "utf-16", "UTF-16"),
]
SEPARATORS = {";": gettext_noop("semicolons"), ",": gettext_noop("commas"), "\t": gettext_noop("tabs")}
SAMPLE_LINES = 30
FORMULA = gettext_noop("This is a formula. Put its result here, or a ' before it if it is meant as text.")


def read_text_file(content: bytes) -> Grid:
    """The lines of a CSV file, with a note of its letters and its separator. Raises Unreadable."""
    text, letters = _decoded(content)
    text, separator = _separator(text)
    lines = _lines(text, separator)
    note = Saying(
        gettext_noop("Read as text in %(letters)s, cells apart by %(separator)s."),
        {"letters": letters, "separator": Saying(SEPARATORS[separator])},
    )
    return Grid(lines, (note,))


def _decoded(content: bytes) -> tuple[str, str]:
    """The text and the name of its letters: by its mark, else UTF-8, else UTF-16 by its zeros, else Windows-1252."""
    for mark, codec, name in MARKS:
        if content.startswith(mark):
            return _text(content, codec, name), name
    if b"\0" in content[:4000]:
        even, odd = content[0:4000:2].count(0), content[1:4000:2].count(0)
        return _text(content, "utf-16-be" if even > odd else "utf-16-le", "UTF-16"), "UTF-16"
    try:
        return _text(content, "utf-8", "UTF-8"), "UTF-8"
    except Unreadable:
        return _text(content, "cp1252", "Windows-1252"), "Windows-1252"


def _text(content: bytes, codec: str, name: str) -> str:
    try:
        text = content.decode(codec)
    except UnicodeError:
        raise Unreadable(
            gettext_noop(
                "These letters cannot be read as %(letters)s. Save the file as CSV in UTF-8, or as .xlsx, and give "
                "it again."
            ),
            letters=name,
        ) from None
    if "\0" in text:
        raise Unreadable(gettext_noop("This is not a text file. Save it as CSV or as .xlsx, and give it again."))
    return text


def _separator(text: str) -> tuple[str, str]:
    """What cuts most lines into the same number of cells, at least two; a first line "sep=;" decides it.

    Such a line is blanked, not cut out: lines keep their numbers.
    """
    first, _, rest = text.partition("\n")
    if first.strip().lower().startswith("sep=") and (said := first.strip()[4:5] or "\t") in SEPARATORS:
        return f"\n{rest}", said

    def evenness(separator: str) -> tuple[int, int]:
        rows = islice(csv.reader(StringIO(text, newline=""), delimiter=separator), SAMPLE_LINES)
        try:
            widths = Counter(len(row) for row in rows if len(row) > 1)
        except csv.Error:  # a cell longer than any could be, when cut this way
            return 0, 0
        width, lines = max(widths.items(), key=lambda pair: (pair[1], pair[0]), default=(0, 0))
        return lines, width

    return text, max(SEPARATORS, key=evenness)


def _lines(text: str, separator: str) -> tuple[Line, ...]:
    reader = csv.reader(StringIO(text, newline=""), delimiter=separator, strict=True)
    lines: list[Line] = []
    started = 1
    try:
        for row in reader:
            if len(row) > MOST_COLUMNS:
                raise Unreadable(
                    gettext_noop("Line %(line)s has more than %(most)s cells. Leave out the columns not needed here."),
                    line=started,
                    most=MOST_COLUMNS,
                )
            line = filled(started, [_cell(text) for text in row])
            started = reader.line_num + 1
            if line is not None:
                lines.append(line)
            # The head, and a few lines above it, stand with the rows.
            if len(lines) > MOST_ROWS + SAMPLE_LINES:
                raise Unreadable(
                    gettext_noop("The file holds more than %(most)s rows. Cut it into smaller files."), most=MOST_ROWS
                )
    except csv.Error as trouble:
        raise Unreadable(
            gettext_noop(
                "From line %(line)s on the cells cannot be told apart: a quotation mark is opened and not closed, or "
                "a cell is longer than any could be. Mend that line and give the file again."
            ),
            line=started,
        ) from trouble
    return tuple(lines)


def _cell(text: str) -> Cell:
    text = text.strip()
    if text.startswith("="):
        return Spoiled(text, Saying(FORMULA))
    return unquoted(text)
