"""A file as lines of cells, before anything is known of what they mean."""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from .faults import Saying

MOST_BYTES = 5_000_000
MOST_ROWS = 20_000
MOST_COLUMNS = 100


@dataclass(frozen=True, slots=True)
class Spoiled:
    """A cell that holds no value of its own: a formula, or a spreadsheet's error."""

    text: str
    saying: Saying


Cell = str | Decimal | date | bool | Spoiled  # an empty cell is ""


@dataclass(frozen=True, slots=True)
class Line:
    """A line of the file that holds something, with the number people find it by."""

    number: int
    cells: tuple[Cell, ...]

    def at(self, place: int) -> Cell:
        return self.cells[place] if place < len(self.cells) else ""


@dataclass(frozen=True, slots=True)
class Grid:
    """The lines of a file or of one of its sheets, and what was taken for granted in reading them."""

    lines: tuple[Line, ...]
    notes: tuple[Saying, ...] = ()
    sheet: str = ""
    sheets: tuple[str, ...] = ()
    merged: tuple[str, ...] = ()  # such as A2:A5


def filled(number: int, cells: list[Cell]) -> Line | None:
    """The line without the empty cells at its end; None when nothing is left."""
    last = len(cells)
    while last and cells[last - 1] == "":
        last -= 1
    return Line(number, tuple(cells[:last])) if last else None
